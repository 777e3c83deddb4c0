"""The reasons for the four words, for one thing of each kind."""

import pytest

from obslog.club.targets.how_sure import Sure, judge
from obslog.club.targets.sure_words import why
from obslog.sky.contrast.through_tube import usual_magnifications, views_through
from tests.club.targets.skies import Thing, catalogue_of, even_sky

AMERICA = Thing(name="NGC 7000", type="ionised hydrogen region", magnitude=4.0, size=(120.0, 100.0))


def told(
    thing: Thing, sky: float = 21.5, aperture_mm: float = 200.0, moonlit: float | None = None
) -> tuple[Sure, str]:
    catalogue = catalogue_of(thing)
    views = views_through(aperture_mm, usual_magnifications(aperture_mm))
    judged = judge(catalogue, even_sky(1, sky, moonlit), views, aperture_mm)
    return judged.sure(0), why(catalogue, judged, 0)


@pytest.mark.parametrize(
    ("thing", "reason"),
    [
        (Thing(name="M 57", type="planetary nebula", magnitude=8.8, size=(1.4, 1.0)), "bright and compact"),
        (
            Thing(name="M 81", type="galaxy", magnitude=6.9, size=(21.6, 11.2)),
            "it stands out well from the sky",
        ),
        (
            Thing(name="LMC", type="galaxy", magnitude=0.3, size=(646.0, 550.0), hubble="SBm"),
            "bright enough for the naked eye",
        ),
        (Thing(name="M 44", type="open cluster", magnitude=3.1), "its stars are bright enough"),
        (
            Thing(name="M 42", type="cluster with nebula", magnitude=4.0),
            "its stars are bright enough; the nebula around them is not judged",
        ),
        (Thing(name="Castor", type="double star", magnitude=1.6), "bright enough, and apart"),
        (Thing(name="Regulus", type="star", magnitude=1.4), "bright enough"),
        (Thing(name="Jupiter", type="planet", magnitude=-2.0), "bright"),
        (Thing(name="Neptune", type="planet", magnitude=7.8), "like a star, to be found on a chart"),
        (Thing(name="Moon", type="Moon"), "the brightest there is"),
    ],
)
def test_what_is_seen_easily_has_a_reason_of_its_kind(thing: Thing, reason: str) -> None:
    assert told(thing) == (Sure.EASILY, reason)


def test_the_light_of_a_wide_thing_is_spread_and_the_moon_weakens_it() -> None:
    assert told(AMERICA) == (Sure.WITH_CARE, "its light is spread over 2°")
    word, reason = told(AMERICA, 22.0, moonlit=21.0)
    assert word in (Sure.WITH_CARE, Sure.HARDLY)
    assert reason == "its light is spread over 2°; the Moon weakens it"


@pytest.mark.parametrize(
    ("kind", "size", "with_care", "hardly"),
    [
        ("galaxy", (2.0, 2.0), "small and faint", "small and very faint"),
        ("nebula", (20.0, 20.0), "faint against the sky", "very faint against the sky"),
    ],
)
def test_the_fainter_a_thing_the_less_is_promised(
    kind: str, size: tuple[float, float], with_care: str, hardly: str
) -> None:
    said = [
        told(Thing(name="N", type=kind, magnitude=magnitude / 10, size=size)) for magnitude in range(60, 150)
    ]
    words = [word for word, _ in said]
    assert words == sorted(words, key=[Sure.EASILY, Sure.WITH_CARE, Sure.HARDLY, Sure.NO].index)
    assert {reason for word, reason in said if word is Sure.WITH_CARE} == {with_care}
    assert {reason for word, reason in said if word is Sure.HARDLY} == {hardly}


def test_stars_at_the_limit_are_said_to_be_there() -> None:
    words = {
        told(Thing(name="Cr 1", type="open cluster", magnitude=magnitude / 10), aperture_mm=60.0)
        for magnitude in range(70, 110)
    }
    assert (Sure.WITH_CARE, "only its brightest stars show") in words
    assert (Sure.HARDLY, "its brightest stars are at the limit of this tube") in words


def test_pairs_that_the_tube_does_not_part_say_so() -> None:
    pair = Thing(name="Alrescha", type="double star", magnitude=3.8)
    assert told(pair, aperture_mm=60.0) == (Sure.HARDLY, "too close for this tube to part")
    assert told(pair, aperture_mm=70.0) == (Sure.WITH_CARE, "only just parted by this tube, in steady air")


@pytest.mark.parametrize(
    ("thing", "reason"),
    [
        (Thing(name="B 33", type="dark nebula"), "a dark nebula, with no light of its own to judge it by"),
        (Thing(name="NGC 6882", type="open cluster"), "its magnitude is not known"),
        (Thing(name="IC 2067", type="nebula", magnitude=11.5), "its size is not known"),
        (Thing(name="IC 1", type="other or unknown", magnitude=9.0), "what it is, is not known"),
    ],
)
def test_what_is_not_known_is_named(thing: Thing, reason: str) -> None:
    assert told(thing) == (Sure.UNKNOWN, reason)


@pytest.mark.parametrize(
    ("hubble", "across", "rest"),
    [
        ("Sb", "by its core, ", " across; the disc is too faint"),
        (
            None,
            "by its core, ",
            " across; the disc is too faint (its type is not known: a usual core is taken)",
        ),
        ("Scd", "by its middle, ", " across; the rest is too faint"),
    ],
)
def test_of_a_galaxy_whose_disc_is_too_faint_the_part_that_shows_is_told(
    hubble: str | None, across: str, rest: str
) -> None:
    """Of the same light and size; the fainter the sky, the sooner a disc shows too."""
    galaxy = Thing(name="N", type="galaxy", magnitude=5.0, size=(90.0, 60.0), hubble=hubble)
    said = [told(galaxy, sky=sky / 10) for sky in range(170, 220)]
    by_core = [reason for word, reason in said if reason.startswith(across) and word is not Sure.NO]
    assert by_core
    assert all(reason.endswith(rest) for reason in by_core)
    assert "by its" not in said[-1][1]


def test_a_small_core_is_told_in_seconds_of_arc() -> None:
    spiral = Thing(name="M 96", type="galaxy", magnitude=9.2, size=(7.6, 5.2), hubble="SABab")
    word, reason = told(spiral, sky=18.0)
    assert word in (Sure.EASILY, Sure.WITH_CARE)
    assert reason.startswith("by its core, ")
    assert '" across' in reason
