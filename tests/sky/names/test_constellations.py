"""The 88 constellations and how they are spelt."""

import pytest

from obslog.sky.names.constellations import abbreviations_by_spelling, all_constellations


def test_there_are_eighty_eight_each_with_three_letters_of_its_own() -> None:
    """The list of the International Astronomical Union, adopted in 1922."""
    known = all_constellations()
    assert len(known) == 88
    assert all(len(short) == 3 and entry.abbreviation == short for short, entry in known.items())
    assert len({entry.name for entry in known.values()}) == len({e.genitive for e in known.values()}) == 88


@pytest.mark.parametrize(
    ("spelt", "short"),
    [
        ("lyr", "Lyr"), ("lyra", "Lyr"), ("lyrae", "Lyr"), ("ursamaior", None), ("ursamajor", "UMa"),
        ("ursaemajoris", "UMa"), ("bootes", "Boo"), ("bootis", "Boo"), ("canumvenaticorum", "CVn"), ("sge", "Sge"),
        ("sgr", "Sgr"), ("triangulumaustrale", "TrA"), ("tri", "Tri"),
    ],
)  # fmt: skip
def test_each_is_known_by_its_abbreviation_name_and_genitive(spelt: str, short: str | None) -> None:
    assert abbreviations_by_spelling().get(spelt) == short


def test_no_spelling_is_of_two() -> None:
    spellings = [{entry.abbreviation, entry.name, entry.genitive} for entry in all_constellations().values()]
    assert sum(map(len, spellings)) == len(set().union(*spellings))
    assert set(abbreviations_by_spelling().values()) == set(all_constellations())
