"""What `pointing budget` shows and gives to scripts, from a budget made by hand."""

from dataclasses import replace
from datetime import date
from functools import partial

from obslog.cli.performance.budget import budget_document, show_budget
from obslog.club.landing.error_budget import CauseLine, MountBudget
from obslog.values import Interval
from tests.cli.screens import shown_by

SLACK = CauseLine(
    cause="slack", adds_arcmin=Interval(16.0, 12.0, 19.0, 40), share=0.64,
    half_without_arcmin=Interval(11.0, 9.0, 13.0, 40), remedy="take it up",
)  # fmt: skip
CONE = CauseLine(
    cause="cone error", adds_arcmin=Interval(-3.0, -6.0, 2.5, 40), share=-0.02,
    half_without_arcmin=Interval(22.5, None, None, 40), remedy="shim the rings",
)  # fmt: skip
SQUARENESS = CauseLine(
    cause="squareness", adds_arcmin=Interval(-1.1, -2.5, 3.7, 40), share=-0.002,
    half_without_arcmin=Interval(18.5, 15.0, 22.9, 40), remedy="square the axes",
)  # fmt: skip
FOUND = MountBudget(
    mount="Heron", tube=None, since=date(2026, 1, 5), setups=7, go_tos=40, half_arcmin=Interval(22.0, 19.0, 26.0, 40),
    rms_arcmin=20.0, causes=[SLACK, CONE], words=["Half of it.", "Do this."],
)  # fmt: skip


def test_the_sentence_comes_first_and_only_remedies_that_help_are_told() -> None:
    for shown in shown_by(lambda screen: show_budget(screen, FOUND)):
        assert shown.in_order("Half of it.", "Do this.", "slack", "16.0", "64 %", "11.0", "slack: take it up")
        assert "shim the rings" not in shown.words
        assert "40 go-tos after a sync in 7 set-ups since 2026-01-05" in shown.notes


def test_of_a_cause_that_may_add_nothing_no_remedy_is_told() -> None:
    found = replace(FOUND, causes=[SQUARENESS, SLACK])
    for shown in shown_by(lambda screen: show_budget(screen, found)):
        assert shown.in_order("squareness", "-1.1", "-2.5", "0 %", "slack: take it up")
        assert "-0 %" not in shown.words
        assert "square the axes" not in shown.words


def test_of_few_set_ups_no_remedy_is_told() -> None:
    for setups, told in ((3, False), (4, True)):
        for shown in shown_by(partial(show_budget, found=replace(FOUND, setups=setups))):
            assert ("take it up" in shown.words) is told


def test_scripts_get_the_published_keys() -> None:
    assert budget_document(FOUND) == {
        "mount": "Heron", "tube": None, "since": date(2026, 1, 5), "setups": 7, "go_tos": 40,
        "half_land_within_arcmin": {"value": 22.0, "low": 19.0, "high": 26.0}, "rms_arcmin": 20.0,
        "causes": [
            {
                "cause": "slack", "adds_arcmin": 16.0, "low": 12.0, "high": 19.0, "share": 0.64,
                "half_without_arcmin": 11.0, "half_without_low": 9.0, "half_without_high": 13.0, "remedy": "take it up",
            },
            {
                "cause": "cone error", "adds_arcmin": -3.0, "low": -6.0, "high": 2.5, "share": -0.02,
                "half_without_arcmin": 22.5, "half_without_low": None, "half_without_high": None,
                "remedy": "shim the rings",
            },
        ],
        "words": ["Half of it.", "Do this."],
    }  # fmt: skip
