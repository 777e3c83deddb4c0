"""Faults that a borrower reports: kept with the part, and a snag of the item, on a day within the loan."""

from datetime import date, datetime

import pytest

from obslog.club.night.snags import list_snags
from obslog.club.register.undo import undo
from obslog.club.storeroom.kits import add_kit
from obslog.club.storeroom.loan_faults import NotWhileOut, WhichPart, report_fault
from obslog.club.storeroom.loan_pages import LoanPartLine, show_loan
from obslog.club.storeroom.loans import lend, take_back
from obslog.errors import UnknownName
from obslog.fields import UnusableText
from obslog.records.database import Database
from obslog.times import FutureDate

OUT, BACK = date(2026, 2, 1), date(2026, 2, 20)


@pytest.fixture
def lent(club: Database, now: datetime) -> Database:
    """Ines has had the Evening kit since 1 February, and Bram Ostler has Stop 20."""
    add_kit(club, "Evening kit", ["Heron", "Wide 25", "dust cap"], now)
    lend(club, "Evening kit", "Ines", now, on=OUT)
    lend(club, "Stop 20", "Bram Ostler", now, on=OUT)
    return club


def part(database: Database, now: datetime, name: str) -> LoanPartLine:
    page = show_loan(database, "Evening kit", now.date())
    return next(line for line in page.parts if line.part == name)


def test_a_fault_is_kept_with_its_part_and_as_a_snag_of_the_item_and_member(
    lent: Database, now: datetime
) -> None:
    report_fault(lent, "Evening kit", " clutch slips ", now, part="heron", on=date(2026, 2, 3))
    line = part(lent, now, "Heron")
    assert (line.fault, line.fault_on) == ("clutch slips", date(2026, 2, 3))
    assert part(lent, now, "Wide 25").fault is None
    (snag,) = list_snags(lent)
    assert (snag.about, snag.text) == ("Heron", "clutch slips")


def test_a_second_fault_is_added_and_the_earlier_day_stays(lent: Database, now: datetime) -> None:
    report_fault(lent, "Evening kit", "fogged", now, part="Wide 25", on=date(2026, 2, 10))
    report_fault(lent, "Evening kit", "loose ring", now, part="Wide 25", on=date(2026, 2, 5))
    report_fault(lent, "Evening kit", "dusty", now, part="Wide 25", on=date(2026, 2, 12))
    line = part(lent, now, "Wide 25")
    assert (line.fault, line.fault_on) == ("fogged; loose ring; dusty", date(2026, 2, 5))
    assert len(list_snags(lent)) == 3


@pytest.mark.parametrize(
    ("day", "came_with_it"),
    [(date(2026, 2, 1), True), (date(2026, 2, 4), True), (date(2026, 2, 5), False)],
)
def test_by_the_rule_a_fault_of_the_first_three_days_came_with_the_item(
    lent: Database, now: datetime, day: date, came_with_it: bool
) -> None:
    report_fault(lent, "Evening kit", "clutch slips", now, part="Heron", on=day)
    assert part(lent, now, "Heron").came_with_it is came_with_it
    assert part(lent, now, "Wide 25").came_with_it is None


def test_what_is_no_item_has_a_fault_and_no_snag(lent: Database, now: datetime) -> None:
    report_fault(lent, "Evening kit", "cracked", now, part="dust cap", on=OUT)
    assert part(lent, now, "dust cap").fault == "cracked"
    assert list_snags(lent) == []


def test_of_several_parts_one_must_be_said_and_of_a_single_one_not(lent: Database, now: datetime) -> None:
    with pytest.raises(WhichPart) as caught:
        report_fault(lent, "Evening kit", "fogged", now)
    assert all(name in caught.value.hint for name in ("Heron", "Wide 25", "dust cap"))
    with pytest.raises(UnknownName, match="Wide 26") as unknown:
        report_fault(lent, "Evening kit", "fogged", now, part="Wide 26")
    assert "Wide 25" in unknown.value.hint
    page = report_fault(lent, "Stop 20", "fogged", now)
    assert [line.fault for line in page.parts] == ["fogged"]


@pytest.mark.parametrize("day", [date(2026, 1, 31), date(2026, 2, 21)])
def test_a_day_before_or_after_the_loan_is_refused(lent: Database, now: datetime, day: date) -> None:
    loan = take_back(lent, "Stop 20", now, on=BACK).loan
    with pytest.raises(NotWhileOut, match=f"{day}, but from 2026-02-01 to 2026-02-20"):
        report_fault(lent, loan.reference, "fogged", now, on=day)
    assert list_snags(lent) == []


@pytest.mark.parametrize("day", [OUT, BACK])
def test_the_days_of_going_out_and_coming_back_are_within_the_loan(
    lent: Database, now: datetime, day: date
) -> None:
    loan = take_back(lent, "Stop 20", now, on=BACK).loan
    assert [line.fault_on for line in report_fault(lent, loan.reference, "fogged", now, on=day).parts] == [
        day
    ]


def test_neither_a_day_to_come_nor_an_empty_text_is_a_fault(lent: Database, now: datetime) -> None:
    with pytest.raises(FutureDate):
        report_fault(lent, "Stop 20", "fogged", now, on=date(2026, 3, 5))
    with pytest.raises(UnusableText):
        report_fault(lent, "Stop 20", "  ", now)


def test_a_fault_is_undone_with_its_snag(lent: Database, now: datetime) -> None:
    report_fault(lent, "Evening kit", "clutch slips", now, part="Heron")
    undo(lent, now)
    assert part(lent, now, "Heron").fault is None
    assert list_snags(lent) == []


@pytest.mark.parametrize("name", ["Heron", "heron", "Hero"])
def test_the_part_whose_name_finds_the_loan_is_the_one_that_is_meant(
    lent: Database, now: datetime, name: str
) -> None:
    report_fault(lent, name, "clutch slips", now)
    assert (part(lent, now, "Heron").fault, part(lent, now, "Wide 25").fault) == ("clutch slips", None)
    loan = show_loan(lent, "Evening kit", now.date()).loan
    for of_the_kit in ("Evening kit", loan.reference):
        with pytest.raises(WhichPart):
            report_fault(lent, of_the_kit, "squeaks", now)
