"""What the page of the club shows: two periods side by side, and the years, of nights put on record by hand."""

from datetime import UTC, date, datetime

import pytest

from obslog.club.annual.report import annual_report
from obslog.club.annual.report_records import Period
from obslog.club.overviews.club_facts import ClubFacts, club_facts
from obslog.club.register import named_records
from obslog.club.storeroom.loans import lend
from obslog.club.upkeep.services import add_service
from obslog.records.database import Database
from tests.club.performance.histories import Evening, put_on_record

NOW = datetime(2028, 1, 1, 12, tzinfo=UTC)
PERIOD = Period(date(2027, 1, 1), date(2027, 12, 31))
EVENINGS = [
    Evening(date(2025, 6, 1), [5.0], observer="Tomasz"),  # before both periods
    Evening(date(2026, 1, 1), [3.0], observer="Tomasz"),
    Evening(date(2026, 12, 31), observer="Tomasz"),  # a sync alone: no landing
    Evening(date(2027, 1, 1), [6.0]),
    Evening(date(2027, 1, 1), [6.0]),
    Evening(date(2027, 3, 4), [6.0], mount="Bracken", observer="Tomasz"),
]


@pytest.fixture
def facts(club: Database) -> ClubFacts:
    named_records.add(club, "member", "Tomasz", {}, NOW)
    put_on_record(club, EVENINGS)
    return club_facts(club, PERIOD, NOW, with_names=False)


def test_two_periods_of_the_same_length_side_by_side(facts: ClubFacts) -> None:
    now, before = facts.report.nights, facts.before
    assert (before.first, before.last) == (date(2026, 1, 1), date(2026, 12, 31))
    assert (now.nights, now.setups, now.mounts, now.observers) == (2, 3, 2, 2)
    assert (before.nights.nights, before.nights.setups, before.nights.observers) == (2, 2, 1)


def test_the_report_is_the_officers(facts: ClubFacts, club: Database) -> None:
    assert facts.report == annual_report(club, PERIOD, NOW.date(), with_names=False)


def test_every_year_is_there_with_its_nights_and_landings(facts: ClubFacts) -> None:
    told = [(one.year, one.nights, one.setups, one.landed) for one in facts.years]
    assert told == [(2025, 1, 1, 1), (2026, 2, 2, 1), (2027, 2, 3, 3)]
    left_out = [(rows.count, rows.kind) for rows in facts.basis.left_out]
    assert left_out == [(1, "set-up")]


def test_the_months_are_those_of_both_periods(facts: ClubFacts) -> None:
    assert len(facts.months) == 24
    told = {str(one.month): one.nights for one in facts.months if one.nights}
    assert told == {"2026-01-01": 1, "2026-12-01": 1, "2027-01-01": 1, "2027-03-01": 1}


def test_a_club_without_nights_has_no_years(database: Database) -> None:
    empty = club_facts(database, PERIOD, NOW, with_names=False)
    assert (empty.years, empty.basis.used) == ([], ())


def test_a_page_without_nights_rests_on_the_loans_services_and_items_that_it_shows(
    database: Database,
) -> None:
    named_records.add(database, "member", "Tomasz", {}, NOW)
    for out in (date(2025, 6, 1), date(2026, 6, 1), date(2027, 6, 1), date(2027, 8, 1)):
        named_records.add(database, "tube", f"Tube {out}", {"aperture_mm": 80, "focal_mm": 400}, NOW)
        lend(database, f"Tube {out}", "Tomasz", NOW, on=out)
    add_service(database, "tube", "Tube 2027-06-01", "cleaned", NOW, on=date(2027, 5, 1))
    found = club_facts(database, PERIOD, NOW, with_names=False).basis.used
    assert [rows.words for rows in found] == ["3 loans", "1 service", "4 items"]
