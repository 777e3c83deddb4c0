"""The stage of a loan around each of its limits, by days counted on a calendar."""

from datetime import date

import pytest

from obslog.club.register.rule_book import Rules
from obslog.club.reminding.stages import Stage, most_pressing, stage_of


@pytest.mark.parametrize(
    ("days_left", "stage"),
    [
        (8, Stage.NOT_YET),
        (7, Stage.DUE_SOON),
        (1, Stage.DUE_SOON),
        (0, Stage.DUE),
        (-3, Stage.DUE),  # the last day of grace
        (-4, Stage.OVERDUE),
        (-13, Stage.OVERDUE),
        (-14, Stage.SECOND),
        (-27, Stage.SECOND),
        (-28, Stage.OFFICER),
        (-400, Stage.OFFICER),
    ],
)
def test_each_limit_from_both_sides_with_three_days_of_grace(days_left: int, stage: Stage) -> None:
    assert stage_of(days_left, Rules({"overdue-out": 3})) is stage


def test_without_grace_the_first_day_is_overdue() -> None:
    assert (stage_of(0, Rules({})), stage_of(-1, Rules({}))) == (Stage.DUE, Stage.OVERDUE)


def test_a_club_that_gives_more_grace_than_the_later_limits_reminds_of_nothing_within_it() -> None:
    rules = Rules({"overdue-out": 40})
    assert (stage_of(-40, rules), stage_of(-41, rules)) == (Stage.DUE, Stage.OFFICER)


def test_a_club_may_set_the_limits() -> None:
    rules = Rules({"due-soon-days": 0, "remind-again-days": 2, "remind-officer-days": 3})
    found = [stage_of(days, rules) for days in (1, 0, -1, -2, -3)]
    assert found == [Stage.NOT_YET, Stage.DUE, Stage.OVERDUE, Stage.SECOND, Stage.OFFICER]


@pytest.mark.parametrize(
    ("due", "today", "stage"),
    [
        (date(2028, 2, 15), date(2028, 2, 29), Stage.SECOND),  # 14 days: a leap year has 29 February
        (date(2028, 2, 16), date(2028, 3, 1), Stage.SECOND),  # 13 to the 29th and one more
        (date(2027, 2, 16), date(2027, 3, 1), Stage.OVERDUE),  # 12 to the 28th and one more: 13
    ],
)
def test_leap_days_count(due: date, today: date, stage: Stage) -> None:
    assert stage_of((due - today).days, Rules({})) is stage


def test_the_most_pressing_is_told() -> None:
    assert most_pressing([Stage.DUE, Stage.SECOND, Stage.DUE_SOON]) is Stage.SECOND
    assert most_pressing([]) is Stage.NOT_YET
