"""How estimates and intervals are said: rounded to the uncertainty, and in words where nothing is determined."""

from math import inf, nan

import pytest

from obslog.estimate_words import (
    chance_cell,
    chance_interval_words,
    chance_words,
    ends_words,
    estimate_document,
    estimate_words,
    interval_document,
    interval_words,
    p_words,
    percent_words,
    radius_words,
    ratio_cell,
    sd_words,
    size_words,
    times_words,
)
from obslog.values import Estimate, Interval


@pytest.mark.parametrize(
    ("value", "sd", "words"),
    [
        (12.13, 0.52, "12.1' ± 0.5'"),
        (-14.2, 2.2, "-14' ± 2'"),
        (7.0, 23.0, "7' ± 23'"),
        (0.5, 0.011, "0.50' ± 0.01'"),
        (-0.2, 3.0, "0' ± 3'"),
        (1.0, 1e-9, "1.000' ± 0.000'"),
    ],
)
def test_numbers_are_rounded_to_their_uncertainty(value: float, sd: float, words: str) -> None:
    assert estimate_words(Estimate(value, sd, 3, True), "'") == words
    assert size_words(Estimate(value, sd, 3, True), "'") == words.lstrip("-")


def test_a_sign_is_written_where_it_is_asked_for() -> None:
    assert estimate_words(Estimate(2.1, 1.4, 3, True), signed=True) == "+2 ± 1"
    assert sd_words(2.34, "'") == "±2'"


@pytest.mark.parametrize("value", [0.0, nan, inf])
@pytest.mark.parametrize("sd", [1.0, nan, inf])
def test_what_is_not_determined_is_no_number(value: float, sd: float) -> None:
    assert estimate_words(Estimate(value, sd, 0, False)) == "not determined"
    if (value, sd) != (0.0, 1.0):
        assert estimate_words(Estimate(value, sd, 9, True)) == "not determined"


def test_an_interval_says_which_of_its_ends_is_bounded() -> None:
    assert interval_words(Interval(1.584, 1.031, 2.429, 42)) == "1.58 (95 % interval 1.03 to 2.43)"
    assert ends_words(Interval(3, None, 7, 1), ".0f") == "95 % interval up to 7"
    assert ends_words(Interval(30, 20, None, 1), ".0f") == "95 % interval from 20"
    assert ends_words(Interval(3, None, None, 1)) == "95 % interval not determined"
    assert times_words(Interval(2, 1, 4, 6)) == "2.00 times the club's average (95 % interval 1.00 to 4.00)"
    assert [Interval(3, low, high, 1).determined for low, high in ((1, 2), (None, 2), (1, None))] == [
        True,
        False,
        False,
    ]


def test_a_chance_is_never_certain_but_a_share_may_be_all() -> None:
    assert [chance_words(chance) for chance in (0, 0.004, 0.38, 0.996, 1)] == [
        "less than 1 %", "less than 1 %", "38 %", "more than 99 %", "more than 99 %",
    ]  # fmt: skip
    assert [chance_cell(chance) for chance in (0, 0.38, 1)] == ["< 1 %", "38 %", "> 99 %"]
    assert chance_interval_words(Interval(0.77, 0.664, None, 5)) == "77 % (95 % interval from 66 %)"
    assert chance_interval_words(Interval(0.98, 0.9, 1, 5)) == "98 % (95 % interval 90 % to more than 99 %)"
    assert chance_interval_words(Interval(1, 0.999, 1, 5)) == "more than 99 %"
    assert [percent_words(share) for share in (0, 0.384, 1)] == ["0 %", "38 %", "100 %"]


def test_how_often_chance_alone_does_it_is_no_more_exact_than_anybody_knows() -> None:
    assert [p_words(p) for p in (0.5, 0.0123, 0.001, 0.00099, 1.5e-7, 0)] == [
        "p = 0.5", "p = 0.012", "p = 0.001", "p < 0.001", "p < 0.001", "p < 0.001",
    ]  # fmt: skip


def test_scripts_read_the_published_keys() -> None:
    found = Estimate(1.5, 0.25, 12, True)
    assert estimate_document(found) == {"value_arcmin": 1.5, "sd_arcmin": 0.25, "determined": True}
    assert estimate_document(found, "share", "sd", determined=False) == {"share": 1.5, "sd": 0.25}
    effect = Interval(1.5, 1.0, 2.0, 12)
    assert interval_document(effect) == {"value": 1.5, "low": 1.0, "high": 2.0}
    assert interval_document(effect, "ratio", count="setups") == {
        "ratio": 1.5, "low": 1.0, "high": 2.0, "setups": 12,
    }  # fmt: skip
    assert interval_document(None, "half", "least", "most") == {"half": None, "least": None, "most": None}


def test_a_radius_has_two_figures_and_its_interval_where_there_is_one() -> None:
    assert radius_words(Interval(22.4, 9.94, 101.2, 7)) == "22' (9.9' to 101')"
    assert radius_words(Interval(9.96, None, None, 1)) == "10'"


def test_a_ratio_that_is_not_known_is_an_empty_cell() -> None:
    assert [ratio_cell(ratio) for ratio in (1.578, None)] == ["1.58", ""]
