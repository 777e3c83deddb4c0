"""Each error is one line what and one line what to do, of its own."""

from datetime import timedelta

import pytest

from obslog.exchange.bundles import errors
from tests.exchange.bundles.made import NOW

ALL = (
    errors.EmptyBundle("ann.obslog"),
    errors.NoBundle("ann.obslog"),
    errors.NoBundle("ann.obslog", "a picture"),
    errors.NewerBundle("ann.obslog", 2, 1),
    errors.WrongManifest("ann.obslog", "it is not JSON"),
    errors.CutOff("ann.obslog", 1000, 2000),
    errors.MoreBehind("ann.obslog"),
    errors.Damaged("ann.obslog"),
    errors.CannotUnpack("ann.obslog"),
    errors.TooLarge("ann.obslog", "has more than 5,000 lines"),
    errors.Bomb("ann.obslog", 200),
    errors.UntrueManifest("ann.obslog", "act", 1, 0),
    errors.WrongEntry("ann.obslog", 7, "`id` is no key"),
    errors.ClockAhead("ann.obslog", "An act", NOW + timedelta(days=9), NOW),
)


@pytest.mark.parametrize("error", ALL, ids=lambda error: type(error).__name__)
def test_an_error_is_a_sentence_that_names_the_file_and_a_hint(error: errors.BrokenBundle) -> None:
    for text in (error.message, error.hint):
        assert "\n" not in text
        assert text[0].isupper() or text.startswith("ann.obslog")
    assert error.message.count("ann.obslog") == 1
    assert error.message.endswith(".")
    assert error.exit_code == 2


def test_no_two_errors_read_the_same_and_none_is_left_out() -> None:
    assert len({error.message for error in ALL}) == len(ALL)
    classes = {
        kind
        for kind in vars(errors).values()
        if isinstance(kind, type) and kind.__module__ == errors.__name__
    }
    assert {type(error) for error in ALL} | {errors.BrokenBundle} == classes


@pytest.mark.parametrize(
    ("said", "found", "words"),
    [
        (1, 0, "says that it holds 1 act, and it holds 0."),
        (2, 1234, "says that it holds 2 acts, and it holds 1,234."),
        (3, None, "says that it holds 3 acts, and it holds more."),
    ],
)
def test_counts_agree_with_their_nouns(said: int, found: int | None, words: str) -> None:
    assert errors.UntrueManifest("ann.obslog", "act", said, found).message == f"ann.obslog {words}"


def test_a_bundle_without_a_name_is_small_inside_a_sentence() -> None:
    assert errors.WrongEntry("The bundle", 7, "it has no end").message == (
        "Line 7 of the contents of the bundle cannot be read: it has no end."
    )
