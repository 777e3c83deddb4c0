"""A half-typed name in the sky becomes those that begin so, whatever its case, spaces and signs."""

import pytest

from obslog.sky.names.begun import names_beginning


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("regulu", "Regulus"),
        ("VEG", "Vega"),
        ("m3", "M 3"),
        ("m 31", "M 31"),
        ("satu", "Saturn"),
        ("dumbb", "Dumbbell Nebula"),
    ],
)
def test_names_are_found_by_their_beginning(typed: str, name: str) -> None:
    assert name in names_beginning(typed)


def test_bodies_come_first_and_then_stars() -> None:
    found = names_beginning("s")
    assert found.index("Saturn") < found.index("Sirius") < found.index("Sombrero Galaxy")


@pytest.mark.parametrize("typed", ["", " ", "?", "no such name"])
def test_of_nothing_nothing_begins(typed: str) -> None:
    assert names_beginning(typed) == []
