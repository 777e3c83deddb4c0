"""A thing and a kit that were retired for a while and taken into use again: those days are gone from the annual report.

By hand: the days from 11 to 19 January are gone, nine in all; it was noted on the 10th and in use again on the 20th.
"""

from datetime import UTC, date, datetime

import pytest

from obslog.club.annual.report import annual_report
from obslog.club.annual.report_records import Period
from obslog.club.register.named_records import add
from obslog.club.storeroom.kits import add_kit
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.storeroom.retirement import OnLoanUntil, reinstate, retire, write_off
from obslog.records.database import Database


def noon(day: int) -> datetime:
    return datetime(2026, 1, day, 12, tzinfo=UTC)


@pytest.mark.parametrize(("kind", "name"), [("tube", "Long tube"), ("kit", "Box")])
def test_days_out_of_use_are_not_available(database: Database, kind: str, name: str) -> None:
    add(database, "tube", "Long tube", {}, noon(1))
    add_kit(database, "Box", ["Long tube"], noon(1))
    retire(database, kind, name, "worn", noon(10).date(), noon(10))
    reinstate(database, name, noon(20), kind=kind)
    period = Period(date(2026, 1, 1), date(2026, 1, 31))
    use = annual_report(database, period, date(2026, 2, 1), with_names=False).utilisation
    available = {(line.kind, line.name): line.days_available for line in use.lines}
    assert available[kind, name] == 31 - 9
    other = ("kit", "Box") if kind == "tube" else ("tube", "Long tube")
    assert available[other] == 31


@pytest.mark.parametrize(("day", "refused"), [(9, True), (10, False), (11, False)])
@pytest.mark.parametrize(("kind", "name"), [("tube", "Long tube"), ("kit", "Box")])
def test_what_was_on_loan_was_not_out_of_use(
    sqlite_database: Database, kind: str, name: str, day: int, refused: bool
) -> None:
    """A battery was retired on a day on which a member had it."""
    add(sqlite_database, "tube", "Long tube", {}, noon(1))
    add(sqlite_database, "member", "Ines", {}, noon(1))
    add_kit(sqlite_database, "Box", ["Long tube"], noon(1))
    lend(sqlite_database, "Box", "Ines", noon(2))
    take_back(sqlite_database, "Box", noon(10))
    on = noon(day).date()
    if not refused:
        assert retire(sqlite_database, kind, name, None, on, noon(20))["retired_on"] == on
        return
    with pytest.raises(OnLoanUntil, match=f"{name} was on loan until 2026-01-10"):
        retire(sqlite_database, kind, name, None, on, noon(20))
    if kind == "tube":
        with pytest.raises(OnLoanUntil, match="Long tube was on loan until 2026-01-10"):
            write_off(sqlite_database, name, "worn", noon(20), on=on)


def test_what_is_written_off_out_of_a_borrowers_hands_is_so_after_its_other_loans(
    sqlite_database: Database,
) -> None:
    add(sqlite_database, "tube", "Long tube", {}, noon(1))
    add(sqlite_database, "member", "Ines", {}, noon(1))
    lend(sqlite_database, "Long tube", "Ines", noon(2))
    take_back(sqlite_database, "Long tube", noon(10))
    lend(sqlite_database, "Long tube", "Ines", noon(10))
    with pytest.raises(OnLoanUntil):
        write_off(sqlite_database, "Long tube", "lost", noon(20), on=noon(9).date(), lost_on_loan=True)
    write_off(sqlite_database, "Long tube", "lost", noon(20), on=noon(15).date(), lost_on_loan=True)
