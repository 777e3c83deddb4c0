"""Times that cannot be are found on either database: outside of a night, to come, too early, after a jump."""

from datetime import date, datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import text

from obslog.records.care.finding import Finding
from obslog.records.care.impossible_times import impossible_times
from obslog.records.database import Database
from obslog.records.tables.lending import Loan, LoanPart
from obslog.records.tables.logbook_tables import Arrival, Night, Observation, Service, Site


def found_in(database: Database, now: datetime) -> list[Finding]:
    with database.engine.connect() as connection:
        return impossible_times(connection, now)


def test_one_sound_record_of_every_table_has_no_impossible_time(
    full_database: Database, now: datetime
) -> None:
    assert found_in(full_database, now) == []


# The night of 2026-03-02 at Mill Field, Europe/London and so UTC then, runs from noon to noon.
@pytest.mark.parametrize(
    ("at", "outside"),
    [("2026-03-02T11:59", True), ("2026-03-02T12:00", False), ("2026-03-03T11:59", False), ("2026-03-03T12:00", True)],
)  # fmt: skip
@pytest.mark.parametrize("kind", [Arrival, Observation])
def test_an_entry_outside_of_its_night_is_found(
    full_database: Database, now: datetime, kind: type[Arrival | Observation], at: str, outside: bool
) -> None:
    with full_database.write(now) as session:
        entry: Any = session.query(kind).one()
        entry.at_utc = datetime.fromisoformat(f"{at}+00:00")
    found = found_in(full_database, now + timedelta(days=9))
    assert [one.what for one in found] == (
        [f"1 {kind.__name__.lower()} lies outside of its night."] if outside else []
    )
    if found:
        assert "Mill Field" in (found[0].example or "")


def test_where_the_zone_is_not_known_any_place_on_earth_may_be_meant(
    full_database: Database, now: datetime
) -> None:
    """From 14 hours ahead of UTC to 12 behind it: from 22:00 UTC of the day before to midnight after the next noon."""
    for at, outside in (("2026-03-01T22:00", False), ("2026-03-01T21:59", True), ("2026-03-03T23:59", False),
                        ("2026-03-04T00:00", True)):  # fmt: skip
        with full_database.write(now) as session:
            session.query(Site).one().zone = None
            session.query(Arrival).one().at_utc = datetime.fromisoformat(f"{at}+00:00")
        found = found_in(full_database, now + timedelta(days=9))
        assert len(found) == outside, at


def test_what_is_still_to_come_is_found_after_a_day_of_grace(full_database: Database, now: datetime) -> None:
    """Where it is already tomorrow, a date may be a day ahead of UTC."""
    with full_database.write(now) as session:
        session.query(Service).one().done_on = date(2026, 3, 3)
        session.query(Loan).one().due_on = date(2027, 1, 1)  # is meant to be to come
    assert found_in(full_database, now) == []
    with full_database.write(now) as session:
        session.query(Service).one().done_on = date(2026, 3, 4)
        session.query(Night).one().open = False
    (found,) = found_in(full_database, now)
    assert found.what == "1 row of services with done_on still to come."
    assert found.example == "the latest 2026-03-04"


def test_a_part_that_came_back_before_its_loan_went_out_is_found(
    full_database: Database, now: datetime
) -> None:
    with full_database.write(now) as session:
        session.query(LoanPart).one().back_on = date(2026, 1, 31)
    (found,) = found_in(full_database, now)
    assert found.what == "1 part of loans came back before the loan went out."
    assert found.example == "Heron: back on 2026-01-31, out on 2026-02-01"


def test_a_clock_that_was_set_back_by_more_than_a_day_is_found_once(
    database: Database, now: datetime
) -> None:
    for hours in (0, 1, 30, 6, 5, 7):  # ahead by a day, and set right
        with database.write(now + timedelta(hours=hours), f"act at {hours}") as session:
            session.add(Site(name=f"Hill {hours}", name_key=f"hill {hours}"))
    assert found_in(database, now + timedelta(hours=40)) == [], "24 hours are no jump of more than a day"
    with database.write(now - timedelta(days=400), "an empty battery") as session:
        session.add(Site(name="Ridge", name_key="ridge"))
    (found,) = found_in(database, now + timedelta(hours=40))
    assert found.what == "The clock jumped back by more than a day 1 time between two acts."
    assert "an empty battery" in (found.example or "")


def test_a_time_that_is_none_is_left_to_those_who_look_for_it(
    sqlite_database: Database, now: datetime
) -> None:
    key = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
    with sqlite_database.engine.begin() as connection:
        for number, at in enumerate(("noon", "2026-03-02", "2026-03-02T21:00:00.000000Z")):
            connection.execute(
                text(f"INSERT INTO acts (id, at_utc, sentence) VALUES ('{key[:-1]}{number}', '{at}', 'act')")
            )
    found_in(sqlite_database, now)
