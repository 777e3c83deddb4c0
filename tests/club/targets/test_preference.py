"""Which targets come first, and which share a place."""

import numpy as np
import pytest

from obslog.club.targets.how_sure import Sure
from obslog.club.targets.preference import (
    BRIGHT_MOONLIGHT_MAG,
    KINDS,
    kind_of,
    preferred,
    with_neighbours,
)
from obslog.sky.names.object_types import WANDERING_TYPES, ObjectType
from tests.club.targets.skies import Thing, catalogue_of

PERSEUS = (  # NGC 869 and 884 are 29' apart: 0.0593 h are 53.4' x cos(57.13 deg)
    Thing(name="NGC 869", type="open cluster", magnitude=3.7, ra_hours=2.31627, dec_deg=57.117),
    Thing(name="NGC 884", type="open cluster", magnitude=3.8, ra_hours=2.37558, dec_deg=57.144),
    Thing(name="NGC 957", type="open cluster", magnitude=7.6, ra_hours=2.55, dec_deg=57.57),
)


def order_of(
    *things: Thing, sure: list[Sure], moonlight: float = 0.0, field: float | None = None
) -> list[str]:
    catalogue = catalogue_of(*things)
    order = preferred(catalogue, np.arange(len(things)), sure, np.full(len(things), moonlight), field)
    return [things[place].name for place in order]


def test_the_best_of_each_kind_come_in_turn_the_brightest_first() -> None:
    things = [
        Thing(name="cluster 3", type="open cluster", magnitude=3.0),
        Thing(name="cluster 2", type="open cluster", magnitude=2.0),
        Thing(name="globular 6", type="globular cluster", magnitude=6.0),
        Thing(name="galaxy 9", type="galaxy", magnitude=9.0),
        Thing(name="galaxy 8", type="pair of galaxies", magnitude=8.0),
        Thing(name="remnant 8", type="supernova remnant", magnitude=8.0),
        Thing(name="Jupiter", type="planet", magnitude=-2.0),
        Thing(name="Moon", type="Moon"),
        Thing(name="Castor", type="double star", magnitude=1.6),
    ]
    assert order_of(*things, sure=[Sure.EASILY] * 9) == [
        "galaxy 8", "globular 6", "remnant 8", "cluster 2", "Moon", "Castor", "galaxy 9", "cluster 3", "Jupiter",
    ]  # fmt: skip


def test_what_is_easy_comes_before_what_needs_care_and_the_unknown_last() -> None:
    words = [Sure.UNKNOWN, Sure.HARDLY, Sure.WITH_CARE, Sure.EASILY]
    things = [Thing(name=word, type="galaxy", magnitude=float(n)) for n, word in enumerate(words)]
    assert order_of(*things, sure=words) == ["easily", "with care", "hardly", "unknown"]


def test_in_bright_moonlight_galaxies_and_nebulae_come_after_what_is_made_of_stars() -> None:
    things = [
        Thing(name="M 57", type="planetary nebula", magnitude=8.8),
        Thing(name="M 82", type="galaxy", magnitude=8.3),
        Thing(name="faint cluster", type="open cluster", magnitude=9.9),
        Thing(name="M 13", type="globular cluster", magnitude=5.8),
        Thing(name="hard pair", type="double star", magnitude=6.0),
    ]
    words = [Sure.EASILY, Sure.WITH_CARE, Sure.EASILY, Sure.EASILY, Sure.HARDLY]
    dark = order_of(*things, sure=words, moonlight=BRIGHT_MOONLIGHT_MAG - 0.1)
    assert dark == ["M 13", "M 57", "faint cluster", "M 82", "hard pair"]
    lit = order_of(*things, sure=words, moonlight=BRIGHT_MOONLIGHT_MAG)
    assert lit == ["M 13", "faint cluster", "M 57", "M 82", "hard pair"]


def test_a_cluster_in_a_nebula_takes_a_nebulas_turn_and_under_the_moon_a_clusters() -> None:
    things = [
        Thing(name="M 42", type="cluster with nebula", magnitude=4.0),
        Thing(name="M 45", type="open cluster", magnitude=1.2),
        Thing(name="M 57", type="planetary nebula", magnitude=8.8),
    ]
    assert kind_of("cluster with nebula") == kind_of("planetary nebula")
    assert order_of(*things, sure=[Sure.EASILY] * 3) == ["M 42", "M 45", "M 57"]
    assert order_of(*things, sure=[Sure.EASILY] * 3, moonlight=BRIGHT_MOONLIGHT_MAG)[-1] == "M 57"


def test_a_cluster_wider_than_the_field_comes_after_those_that_fit() -> None:
    """At 300x a field is near 10' wide; the Hyades have 330'. A galaxy's core fits any field."""
    things = [
        Thing(name="Hyades", type="open cluster", magnitude=0.5, size=(330.0, 330.0)),
        Thing(name="small", type="open cluster", magnitude=9.0, size=(5.0, 5.0)),
        Thing(name="unknown size", type="open cluster", magnitude=9.5),
        Thing(name="M 31", type="galaxy", magnitude=3.4, size=(190.0, 60.0)),
        Thing(name="hard", type="open cluster", magnitude=8.0, size=(5.0, 5.0)),
    ]
    words = [Sure.EASILY] * 4 + [Sure.HARDLY]
    assert order_of(*things, sure=words, field=10.0) == ["M 31", "small", "unknown size", "Hyades", "hard"]
    assert order_of(*things, sure=words)[1] == "Hyades"


@pytest.mark.parametrize("type_word", [*map(str, ObjectType), *WANDERING_TYPES])
def test_every_type_has_a_kind(type_word: str) -> None:
    assert kind_of(type_word) in KINDS


def places(*things: Thing, field: float, good: list[bool] | None = None) -> list[tuple[str, list[str]]]:
    catalogue = catalogue_of(*things)
    are_good = np.array([True] * len(things) if good is None else good)
    return [
        (things[one.first].name, [things[place].name for place in one.beside])
        for one in with_neighbours(catalogue, range(len(things)), are_good, field)
    ]


def test_the_double_cluster_takes_one_place_in_a_field_that_holds_it() -> None:
    assert places(*PERSEUS, field=60.0) == [("NGC 869", ["NGC 884"]), ("NGC 957", [])]
    assert places(*PERSEUS, field=30.0) == [("NGC 869", []), ("NGC 884", []), ("NGC 957", [])]


def test_a_place_goes_by_its_messier_object() -> None:
    sword = (
        Thing(name="NGC 1980", type="cluster with nebula", magnitude=2.5, ra_hours=5.5905, dec_deg=-5.91),
        Thing(name="M 42", type="cluster with nebula", magnitude=4.0, ra_hours=5.5879, dec_deg=-5.39),
        Thing(name="NGC 1973", type="nebula", magnitude=7.0, ra_hours=5.585, dec_deg=-4.73),
    )
    assert places(*sword[:2], field=60.0) == [("M 42", ["NGC 1980"])]
    assert places(sword[2], sword[1], field=60.0) == [("M 42", ["NGC 1973"])]
    assert places(*sword[:2], field=30.0) == [("NGC 1980", []), ("M 42", [])]
    assert places(*sword[:2], field=60.0, good=[True, False]) == [("NGC 1980", []), ("M 42", [])]


def test_of_two_messier_objects_the_brighter_names_the_place() -> None:
    m32 = Thing(name="M 32", type="galaxy", magnitude=8.1, ra_hours=0.7116, dec_deg=40.87)
    m31 = Thing(name="M 31", type="galaxy", magnitude=3.4, ra_hours=0.7123, dec_deg=41.27)
    assert places(m32, m31, field=60.0) == [("M 31", ["M 32"])]


def test_a_place_holds_only_what_fits_into_one_field_together() -> None:
    """Three in a row, 40' from one to the next: two of them fit into a field of 60', not all."""
    row = [Thing(name=str(n), type="galaxy", magnitude=float(n), dec_deg=n * 40 / 60) for n in (1, 0, 2)]
    assert places(*row, field=60.0) == [("0", ["1"]), ("2", [])]
    assert places(*row, field=100.0) == [("0", ["1", "2"])]


def test_a_place_goes_by_the_brightest_in_it_whichever_is_seen_more_surely() -> None:
    """M 32, small and bright of surface, comes first; the great galaxy 24' beside it is what the field is called by."""
    pair = (
        Thing(name="M 32", type="galaxy", magnitude=8.1, ra_hours=0.7116, dec_deg=40.865),
        Thing(name="M 31", type="galaxy", magnitude=3.4, ra_hours=0.7123, dec_deg=41.269),
    )
    assert places(*pair, field=60.0) == [("M 31", ["M 32"])]


def test_only_what_is_seen_well_stands_beside_another() -> None:
    assert places(*PERSEUS[:2], field=60.0, good=[True, False]) == [("NGC 869", []), ("NGC 884", [])]
    assert places(*PERSEUS[:2], field=60.0, good=[False, True]) == [("NGC 869", []), ("NGC 884", [])]


@pytest.mark.parametrize("type_word", ["Moon", "planet", "star", "double star"])
def test_moon_planets_and_stars_have_a_place_of_their_own(type_word: str) -> None:
    near = Thing(name="near", type=type_word, magnitude=1.0, ra_hours=2.316, dec_deg=57.1)
    assert places(near, PERSEUS[0], field=60.0) == [("near", []), ("NGC 869", [])]
    assert places(PERSEUS[0], near, field=60.0) == [("NGC 869", []), ("near", [])]
