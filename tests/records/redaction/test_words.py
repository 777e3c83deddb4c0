"""Words are found as whole words, and give way."""

from typing import Literal
from unicodedata import normalize

import pytest

from obslog.records.redaction.words import Words

NEUTRAL = "Former member 1"


@pytest.mark.parametrize(
    ("text", "after"),
    [
        ("Ines Rey said so", f"{NEUTRAL} said so"),
        ("said so: INES   REY.", f"said so: {NEUTRAL}."),
        ("ines\nrey's chair", f"{NEUTRAL}'s chair"),
        ("(Ines Rey)", f"({NEUTRAL})"),
        ("Inés Rey", "Inés Rey"),  # another name
        ("Ines Reyes", "Ines Reyes"),
        ("Marines Rey", "Marines Rey"),
        ("Ines and Rey", "Ines and Rey"),
        ("", ""),
    ],
)
def test_a_name_gives_way_as_whole_words_in_any_case_and_spacing(text: str, after: str) -> None:
    words = Words({"Ines Rey": NEUTRAL})
    assert words.replaced(text) == after
    assert words.stand_in(text) is (text != after)


def test_a_name_with_accents_is_found_also_as_it_is_typed_without_them() -> None:
    words = Words({"Zoë Größ": "X"})
    assert [words.replaced(text) for text in ("Zoë Größ", "zoe gross", "ZOË GRÖSS")] == ["X", "X", "X"]


@pytest.mark.parametrize("name", ["José", "José Sarmento", "Zoë Größ", "Nguyễn Ánh"])
@pytest.mark.parametrize("form", ["NFC", "NFD"])
@pytest.mark.parametrize("typed", ["NFC", "NFD"])
def test_an_accent_is_the_same_as_a_sign_of_its_own_and_within_its_letter(
    name: str, form: Literal["NFC", "NFD"], typed: Literal["NFC", "NFD"]
) -> None:
    words = Words({normalize(form, name): "X"})
    text = normalize(typed, f"photo by {name}, {name.upper()}'s mount.png")
    assert words.replaced(text) == "photo by X, X's mount.png"


@pytest.mark.parametrize("typed", ["NFC", "NFD"])
def test_a_name_without_its_accent_is_not_another_ones_that_has_it(typed: Literal["NFC", "NFD"]) -> None:
    text = normalize(typed, "José and Josée")
    assert Words({"Jose": "X"}).replaced(text) == text


def test_the_longer_word_goes_first_and_what_replaces_it_is_taken_as_it_is() -> None:
    words = Words({"Rey": "B", "Ines Rey": r"A\1\g<0>"})
    assert words.replaced("Ines Rey met Rey") == r"A\1\g<0> met B"
    assert Words({"c++ (old)": "it"}).replaced("the C++ (old) one") == "the it one"
    assert Words({}).stand_in("anything") is False
