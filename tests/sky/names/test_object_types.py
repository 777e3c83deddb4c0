"""What a word for a type of object means: families with named members."""

import pytest

from obslog.errors import UnknownName
from obslog.sky.names.deepsky import find_object
from obslog.sky.names.object_types import SHOWN_WORDS, WANDERING_TYPES, ObjectType, types_named


@pytest.mark.parametrize(
    ("word", "members"),
    [  # what handbooks call them; common knowledge
        ("nebula", ["M 42", "M 1", "M 27", "M 57", "M 8", "M 17", "M 20", "M 78", "M 97", "Veil Nebula"]),
        ("nebula", ["North America Nebula", "Rosette Nebula", "Horsehead Nebula", "Helix Nebula"]),
        ("galaxy", ["M 31", "M 51", "M 104", "NGC 4676", "Stephan's Quintet", "LMC"]),
        ("cluster", ["M 13", "M 45", "Hyades", "Double Cluster", "Coathanger"]),
        ("open cluster", ["M 45", "M 11", "Hyades"]),
        ("emission", ["M 42", "North America Nebula"]),
        ("planetary", ["M 57", "M 27", "Saturn Nebula"]),
        ("globular", ["M 13", "Omega Centauri"]),
        ("remnant", ["M 1", "Veil Nebula"]),
        ("reflection", ["M 78"]),
        ("dark", ["Horsehead Nebula"]),
        ("double", ["M 40"]),
    ],
)
def test_a_word_is_a_family_with_these_members(word: str, members: list[str]) -> None:
    family = types_named(word)
    assert [name for name in members if find_object(name).type not in family] == []


@pytest.mark.parametrize(
    ("word", "strangers"),
    [
        ("nebula", ["M 31", "M 13", "M 45"]),
        ("galaxy", ["M 42", "M 13"]),
        ("cluster", ["M 31", "M 57"]),
        ("open cluster", ["M 13", "M 31"]),
        ("globular", ["M 45"]),
        ("planetary", ["M 42"]),
        ("planet", ["M 57"]),
    ],
)
def test_a_family_leaves_strangers_out(word: str, strangers: list[str]) -> None:
    family = types_named(word)
    assert [name for name in strangers if find_object(name).type in family] == []


@pytest.mark.parametrize("word", SHOWN_WORDS)
def test_every_word_that_help_shows_means_something(word: str) -> None:
    assert types_named(word) <= {*map(str, ObjectType), *WANDERING_TYPES}


def test_every_type_is_reached_by_its_own_name() -> None:
    assert [kind for kind in ObjectType if str(kind) not in types_named(kind)] == []
    assert types_named("Moon") == {"Moon"}
    assert types_named("planet") == {"planet"}


@pytest.mark.parametrize(
    ("plural", "word"),
    [("Nebulae", "nebula"), ("galaxies", "galaxy"), ("open  clusters", "open cluster"), ("stars", "star")],
)
def test_plurals_capitals_and_spaces_do_not_matter(plural: str, word: str) -> None:
    assert types_named(plural) == types_named(word)


@pytest.mark.parametrize("text", ["gallaxy", "", "  "])
def test_what_is_no_type_is_refused(text: str) -> None:
    with pytest.raises(UnknownName):
        types_named(text)
