"""Names of stars, bodies and constellations are found by parts and in any spelling."""

import pytest
from skyfield.api import load_constellation_names

from obslog.sky.evening.moving_bodies import constellation_at
from obslog.sky.names.constellations import all_constellations
from obslog.sky.names.search import search_sky
from obslog.sky.names.solar_system import Body, body_or_none
from obslog.sky.names.spelling import folded
from obslog.sky.names.star_tables import all_stars
from obslog.sky.names.stars import also_called, search_stars


def test_a_part_of_a_name_finds_stars_that_begin_with_it_first() -> None:
    found = search_stars("DENEB")
    names = [star.name for star in found]
    assert names[0] == "Deneb"
    assert {"Denebola", "Deneb Algedi", "Diphda"} <= set(names)  # Diphda is Deneb Kaitos too
    begins = [any(name.startswith("Deneb") for name in (star.name, *also_called(star))) for star in found]
    assert begins == sorted(begins, reverse=True)


def test_names_that_begin_with_the_text_come_before_those_that_hold_it() -> None:
    begins = [any(n.startswith("Me") for n in (s.name, *also_called(s))) for s in search_stars("me")]
    assert len(set(begins)) == 2
    assert begins == sorted(begins, reverse=True)


def test_a_designation_is_searched_too() -> None:
    assert search_stars("alf Lyr")[0].name == "Vega"


def test_older_names_are_searched_and_shown() -> None:
    assert [star.name for star in search_stars("Becr")] == ["Mimosa"]
    assert search_stars("deneb kai")[0].name == "Diphda"
    hit = next(hit for hit in search_sky("Etamin") if hit.kind == "star")
    assert (hit.name, hit.also) == ("Eltanin", "γ Dra, 33 Dra, HIP 87833, HR 6705, Etamin")
    assert hit.magnitude_from == "IAU"


def test_a_lettered_star_is_not_told_its_letter_twice() -> None:
    assert search_sky("gam Cas")[0].also == "27 Cas, HIP 4427, Navi, Tsih"


@pytest.mark.parametrize("text", ["", "  ", "qqqq"])
def test_nothing_is_found_for_nothing(text: str) -> None:
    assert search_stars(text) == []


@pytest.mark.parametrize("text", ["moon", "MOON", "the Moon", " Moon "])
def test_bodies_are_found_in_any_spelling(text: str) -> None:
    assert body_or_none(text) is Body.MOON


def test_other_texts_are_no_bodies() -> None:
    assert body_or_none("Earth") is None
    assert body_or_none("") is None


def test_constellation_names_agree_with_skyfield() -> None:
    # load_constellation_names has the 88 abbreviations and Latin names.
    theirs = {abbreviation: folded(name) for abbreviation, name in load_constellation_names()}
    assert {c.abbreviation: folded(c.name) for c in all_constellations().values()} == theirs


def test_the_constellation_of_every_named_star_is_the_one_in_the_iau_list() -> None:
    # The list's constellations are facts of the IAU; the boundaries are Roman's (1987).
    named = [star for star in all_stars() if star.is_named]
    found = constellation_at([star.ra_hours for star in named], [star.dec_deg for star in named])
    wrong = {star.name: str(c) for star, c in zip(named, found, strict=True) if c != star.constellation}
    assert wrong == {}


def test_one_direction_gives_one_constellation() -> None:
    assert str(constellation_at(6.75, -16.7)) == "CMa"


def test_the_sun_found_by_name_carries_its_caution() -> None:
    hits = search_sky("sun")
    assert [hit.name for hit in hits if hit.caution] == ["Sun"]
