"""A thing and a kit that were retired for a while and taken into use again: those days are gone from the annual report.

By hand: the days from 11 to 19 January are gone, nine in all; it was noted on the 10th and in use again on the 20th.
"""

from datetime import UTC, date, datetime

import pytest

from obslog.club.annual.report import annual_report
from obslog.club.annual.report_records import Period
from obslog.club.register.named_records import add
from obslog.club.storeroom.kits import add_kit
from obslog.club.storeroom.retirement import reinstate, retire
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
