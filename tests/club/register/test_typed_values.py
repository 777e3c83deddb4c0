"""Texts as people write them: the spaces around them go, and what cannot be kept or shown is refused."""

import pytest

from obslog.club.register.typed_values import LONGEST_TEXT, NameMeansNone, checked_name, written
from obslog.fields import UnusableText


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("  dew on the finder \n", "dew on the finder"),
        ("first line\n\tsecond", "first line\n\tsecond"),
        ("Zoë’s 7° star ☄", "Zoë’s 7° star ☄"),
        ("x" * LONGEST_TEXT, "x" * LONGEST_TEXT),
        ("  " + "x" * LONGEST_TEXT + "  ", "x" * LONGEST_TEXT),
    ],
)
def test_a_text_is_kept_without_the_spaces_around_it(typed: str, kept: str) -> None:
    assert written(typed, "The snag") == kept


@pytest.mark.parametrize(
    "typed",
    [
        "",
        " \n\t ",
        "x" * (LONGEST_TEXT + 1),
        "a\x1b[31mb",
        "a\u009bb",
        "a\x00b",
        "a\rb",
        "a\u202eb",
        "a\u2067b",
    ],
)
def test_what_is_empty_too_long_or_steers_a_terminal_is_refused(typed: str) -> None:
    with pytest.raises(UnusableText, match=f"The snag has 1 to {LONGEST_TEXT} characters"):
        written(typed, "The snag")


def test_the_longest_text_is_the_callers_to_say() -> None:
    assert written("abc", "The target", 3) == "abc"
    with pytest.raises(UnusableText, match="1 to 3 characters"):
        written("abcd", "The target", 3)


@pytest.mark.parametrize("kind", ["mount", "tube", "eyepiece", "member"])
def test_nothing_of_which_there_may_be_none_is_called_none(kind: str) -> None:
    with pytest.raises(NameMeansNone, match=f"there was no {kind}"):
        checked_name(kind, " None ")
    assert checked_name(kind, "None Such") == "None Such"


def test_a_site_may_be_called_none() -> None:
    assert checked_name("site", "None") == "None"
