"""Two spellings of one name are found, and names of two people mostly are not."""

import pytest

from obslog.club.office.likely_same import likely_same


@pytest.mark.parametrize(
    ("one", "another", "differ"),
    [
        ("Zoë Kettle", "Zoe Kettle", "accents"),
        ("Zoe\u0308 Kettle", "ZOE KETTLE", "accents"),
        ("Okafor, Ines", "Ines Okafor", "accents"),
        ("Ines  O'Kafor", "Ines OKafor", "accents"),
        ("Anne-Marie Lund", "Anne Marie Lund", "accents"),
        ("I. Okafor", "Ines Okafor", "shortened"),
        ("Ines Okafor", "Ines Okafo", "shortened"),  # also one letter
        ("Bram Ostler", "Bram Oslter", "letter"),
        ("Bram Ostler", "Bram Ostlar", "letter"),
    ],
)
def test_two_spellings_are_found_with_what_differs(one: str, another: str, differ: str) -> None:
    [pair] = likely_same([one, another])
    assert (pair.name, pair.other) == (one, another)
    assert differ in pair.differ


@pytest.mark.parametrize(
    ("one", "another"),
    [
        ("Ines", "Ines Okafor"),
        ("Ines Okafor", "Bram Okafor"),
        ("Jun Kitaoka", "June Kettle"),
        ("A. B.", "Ada Byron"),
        ("...", "!!!"),
    ],
)
def test_two_people_are_not(one: str, another: str) -> None:
    assert likely_same([one, another]) == []


def test_every_pair_is_told_once() -> None:
    names = ["Ines Okafor", "Bram Ostler", "Inés Okafor", "ines okafór"]
    pairs = [(pair.name, pair.other) for pair in likely_same(names)]
    assert pairs == [
        ("Ines Okafor", "Inés Okafor"), ("Ines Okafor", "ines okafór"), ("Inés Okafor", "ines okafór"),
    ]  # fmt: skip
