"""What is the officer's to see to: from the club's day on, the longest overdue first, and how to reach borrowers."""

from datetime import date, datetime, timedelta

import pytest

from obslog.club.register.contacts import set_contact
from obslog.club.register.rule_book import set_rule
from obslog.club.register.undo import undo
from obslog.club.reminding.escalation import to_see_to
from obslog.club.reminding.history import note_told
from obslog.club.storeroom.loans import lend
from obslog.records.database import Database


@pytest.fixture
def lending(club: Database, now: datetime) -> Database:
    """On 2 March one loan is 28 days over, one 27, and one 30; from 28 days on it is the officer's."""
    for item, member, due in (
        ("Heron", "Ines", date(2026, 2, 2)),
        ("Bracken", "Ines", date(2026, 2, 3)),
        ("Wide 25", "Bram Ostler", date(2026, 1, 31)),
    ):
        lend(club, item, member, now, on=date(2026, 1, 5), due=due)
    set_contact(club, "Ines", {"phone": "555 0100", "email": "ines@example.org"}, now)
    return club


def test_it_is_told_from_the_day_of_the_rule_on(lending: Database, now: datetime) -> None:
    found = to_see_to(lending, now)
    assert [(one.loan.what, one.loan.days_over, one.member, one.phone) for one in found.loans] == [
        ("Wide 25", 30, "Bram Ostler", None),
        ("Heron", 28, "Ines", "555 0100"),
    ]
    assert (found.after_days, found.on) == (28, date(2026, 3, 2))


def test_the_clubs_own_rule_decides(lending: Database, now: datetime) -> None:
    set_rule(lending, "remind-officer-days", 29, now)
    assert [one.loan.what for one in to_see_to(lending, now).loans] == ["Wide 25"]
    set_rule(lending, "remind-officer-days", 31, now)
    assert to_see_to(lending, now).loans == []


def test_when_the_officer_was_told_of_it(lending: Database, now: datetime) -> None:
    wide, heron = to_see_to(lending, now).loans
    assert (wide.told_on, wide.told_before, wide.times_told) == (None, None, 0)
    note_told(lending, [wide.loan.key], ("officer.eml", "text"), now, lambda: None)
    wide, heron = to_see_to(lending, now).loans
    assert (wide.told_on, wide.told_before, wide.times_told) == (date(2026, 3, 2), None, 1)
    assert heron.times_told == 0
    assert [one.loan.what for one in to_see_to(lending, now, only_new=True).loans] == ["Heron"]
    wide, *_ = to_see_to(lending, now + timedelta(days=2)).loans
    assert (wide.told_on, wide.told_before, wide.times_told) == (date(2026, 3, 2), date(2026, 3, 2), 1)
    undo(lending, now)
    assert to_see_to(lending, now).loans[0].times_told == 0
