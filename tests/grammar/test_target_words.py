"""A name ends where the longest known one does, and no number of what follows is taken into it."""

import subprocess
import sys

import pytest

from obslog.grammar.target_names import UnknownTarget
from obslog.grammar.target_words import misspelt_longer_name, split_target, unknown_beginning
from obslog.sky.names.deepsky import objects
from obslog.sky.names.star_tables import all_stars


def nothing_more(rest: object) -> bool:
    return not rest


@pytest.mark.parametrize(
    ("typed", "name", "rest"),
    [
        ("m31", "M 31", ""),
        ("M 31 big oval", "M 31", "big oval"),
        ("alf Lyr 3E", "Vega", "3E"),
        ("61 Cyg 3E", "61 Cyg", "3E"),
        ("Saturn", "Saturn", ""),
        ("Saturn Nebula blue", "NGC 7009", "blue"),
        ("the Moon low", "Moon", "low"),
        ("M 81 5 stars", "M 81", "5 stars"),
        ("M 81, 5 stars", "M 81", "5 stars"),
        ("ngc 5128, dust lane", "NGC 5128", "dust lane"),
        ("Vega, 3E", "Vega", "3E"),
        ("HIP 677 2", "Alpheratz", "2"),
        ("NGC 650-1 two lobes", "M 76", "two lobes"),
        ("ESO 56 115 vast", "ESO 56-115", "vast"),
        ("omega Centauri vast", "NGC 5139", "vast"),
        ("5h35m -5d23m wings", "5h35.0m -5°23'", "wings"),
    ],
)
def test_the_target_is_the_longest_beginning_that_names_something(typed: str, name: str, rest: str) -> None:
    split = split_target(typed.split(), nothing_more)
    assert split is not None
    target, behind = split
    assert (target.name, target.known, " ".join(behind)) == (name, True, rest)


def test_a_shorter_beginning_is_taken_where_only_behind_it_the_rest_reads() -> None:
    """Three words are coordinates with seconds of arc; of two, `3 E` is left, which stands for a place."""
    words = ["5h35m", "-5d23m", "3", "E"]
    split = split_target(words, lambda rest: list(rest) == ["3", "E"])
    assert split is not None
    assert split[1] == ("3", "E")


@pytest.mark.parametrize(
    "typed", ["my double star", "Vegaa 3E", "NGC 99999", "helix", "12", "", "9" * 5000 + "-"]
)
def test_no_beginning_may_be_known(typed: str) -> None:
    assert split_target(typed.split(), nothing_more) is None


def test_every_star_and_object_reads_in_under_the_name_it_goes_by() -> None:
    for name in [*(star.name for star in all_stars()), *(o.known_as for o in objects()[::7])]:
        split = split_target(name.split(), nothing_more)
        assert split is not None, name
        assert (split[0].name, split[1]) == (name, ())


def test_a_star_and_a_place_need_no_table_of_objects() -> None:
    code = (
        "from obslog.grammar.arrival_words import read_arrival; from obslog.sky.names import deepsky, deepsky_names;"
        "assert read_arrival('Vega 3E 2N pier east'.split()).target.name == 'Vega';"
        "caches = (deepsky._table, deepsky_names.common_names, deepsky_names.other_designations);"
        "assert all(c.cache_info().currsize == 0 for c in caches)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize(
    ("typed", "name", "near"),
    [("Sombrerro big glow", "Sombrerro", "Sombrero Galaxy"), ("Regullus", "Regullus", "Regulus")],
)
def test_an_unknown_beginning_is_told_with_what_comes_nearest(typed: str, name: str, near: str) -> None:
    words = typed.split()
    error = unknown_beginning(words, len(words))
    assert isinstance(error, UnknownTarget)
    assert (error.name, error.words, error.nearest[0]) == (name, tuple(words), near)
    assert (error.exit_code, "--as-written" in error.hint, near in error.hint) == (2, True, True)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("Saturn Nebla blue", "Saturn Nebula"),
        ("Saturn rings edge on", None),
        ("Jupiter red spot", None),
        ("Vega blue", None),
        ("Eagle Nebula low in haze", None),
        ("Knife Edge Galaxy thin", None),
    ],
)
def test_a_known_name_that_begins_a_misspelt_one_is_noticed(typed: str, meant: str | None) -> None:
    words = typed.split()
    split = split_target(words, nothing_more)
    assert split is not None
    assert misspelt_longer_name(split[0], words, split[1]) == meant
