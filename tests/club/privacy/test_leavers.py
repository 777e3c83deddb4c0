"""Who left, and from which day on their name is due to be removed."""

from datetime import date, datetime

import pytest

from obslog.club.privacy.leavers import list_leavers
from obslog.club.privacy.leaving_members import leave
from obslog.club.register.rule_book import set_rule
from obslog.club.storeroom.loans import lend
from obslog.club.storeroom.retirement import retire
from obslog.records.database import Database


@pytest.mark.parametrize(
    ("left_on", "due_on", "due"),
    [
        (date(2024, 3, 2), date(2026, 3, 2), True),  # 24 months to the day, on 2026-03-02
        (date(2024, 3, 3), date(2026, 3, 3), False),
        (date(2024, 2, 29), date(2026, 2, 28), True),  # a month without that day: its last
    ],
)
def test_a_name_is_due_from_the_day_on_that_the_rule_says(
    club: Database, now: datetime, left_on: date, due_on: date, due: bool
) -> None:
    retire(club, "member", "Ines", "moved away", left_on, now)
    [leaver] = list_leavers(club, now)
    assert (leaver.name, leaver.left_on, leaver.due_on, leaver.due) == ("Ines", left_on, due_on, due)


def test_the_club_sets_how_long_and_what_is_done_is_not_listed(club: Database, now: datetime) -> None:
    for name, day in (("Ines", date(2026, 1, 15)), ("Bram Ostler", date(2025, 12, 1))):
        retire(club, "member", name, None, day, now)
    set_rule(club, "keep-leavers-months", 2, now)
    assert [(one.name, one.due) for one in list_leavers(club, now)] == [
        ("Bram Ostler", True),
        ("Ines", False),
    ]
    leave(club, "Bram Ostler", now)
    assert [one.name for one in list_leavers(club, now)] == ["Ines"]


def test_nobody_left_and_a_leaver_with_something_out(club: Database, now: datetime) -> None:
    assert list_leavers(club, now) == []
    lend(club, "Wide 25", "Ines", now)
    retire(club, "member", "Ines", None, date(2020, 1, 1), now)
    assert [(one.due, one.has_out) for one in list_leavers(club, now)] == [(True, True)]
