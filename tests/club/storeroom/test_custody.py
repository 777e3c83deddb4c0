"""Where things are, and what is kept of when they were missing."""

from datetime import date, datetime, timedelta

import pytest
from sqlalchemy import select

from obslog.club.register.things import lendable, thing_named
from obslog.club.storeroom.custody import IsOut, holders, note_absence, open_loan, paper_of, refuse_if_out
from obslog.club.storeroom.kits import add_kit
from obslog.club.storeroom.loans import lend, take_back
from obslog.records.opening import Database
from obslog.records.tables.lending import Absence

DAY = date(2026, 2, 10)


def holding(database: Database) -> dict[str, str]:
    """Who holds what, by name."""
    names = ["Evening kit", "Heron", "Wide 25", "Bracken"]
    with database.read() as session:
        found = holders(session)
        return {name: found[key].member for name in names if (key := lendable(session, name).id) in found}


@pytest.fixture
def kit(club: Database, now: datetime) -> Database:
    """The club with an evening kit."""
    add_kit(club, "Evening kit", ["Heron", "Wide 25", "dust cap"], now)
    return club


def test_a_kit_is_held_with_all_that_went_with_it(kit: Database, now: datetime) -> None:
    assert holding(kit) == {}
    lend(kit, "Wide 25", "Bram Ostler", now)
    lend(kit, "Evening kit", "Ines", now)
    assert holding(kit) == {"Evening kit": "Ines", "Heron": "Ines", "Wide 25": "Bram Ostler"}
    take_back(kit, "Evening kit", now)
    assert holding(kit) == {"Wide 25": "Bram Ostler"}


def test_only_what_is_out_is_refused_with_who_has_it_until_when(kit: Database, now: datetime) -> None:
    lend(kit, "Evening kit", "Ines", now)  # 28 days from 2 March
    with kit.read() as session:
        with pytest.raises(IsOut, match="Heron is out with Ines, due back on 2026-03-30"):
            refuse_if_out(session, lendable(session, "Heron"))
        refuse_if_out(session, lendable(session, "Bracken"))


def test_a_part_of_a_kit_that_is_out_was_not_lent_as_such(kit: Database, now: datetime) -> None:
    lend(kit, "Evening kit", "Ines", now)
    with kit.read() as session:
        assert open_loan(session, lendable(session, "Evening kit")) is not None
        assert open_loan(session, lendable(session, "Heron")) is None
    take_back(kit, "Evening kit", now)
    with kit.read() as session:
        assert open_loan(session, lendable(session, "Evening kit")) is None


def noted(database: Database, now: datetime, *days: tuple[date, bool]) -> list[tuple[date, date | None]]:
    """The absences of Bracken after it was noted missing (true) or found (false) on each day, in this order."""
    with database.write(now) as session:
        thing = thing_named(session, "Bracken")
        for day, missing in days:
            note_absence(session, thing.id, day, missing=missing)
            session.flush()
        query = select(Absence).where(Absence.equipment_id == thing.id).order_by(Absence.since, Absence.id)
        absences = [(absence.since, absence.found_on) for absence in session.scalars(query)]
        paper = paper_of(session, thing.id)
        assert paper is not None
        still = [since for since, found in absences if found is None]
        assert paper.missing_since == (still[0] if still else None)
        return absences


def test_an_absence_is_kept_from_the_day_it_was_noted_to_the_day_it_was_found(
    club: Database, now: datetime
) -> None:
    week = DAY + timedelta(days=7)
    assert noted(club, now, (DAY, True), (week, False)) == [(DAY, week)]
    assert noted(club, now, (week, True)) == [(DAY, week), (week, None)]


def test_what_is_missing_already_is_missing_since_the_first_day(club: Database, now: datetime) -> None:
    assert noted(club, now, (DAY, True), (DAY + timedelta(days=3), True)) == [(DAY, None)]


def test_what_was_found_was_not_found_before_it_was_gone(club: Database, now: datetime) -> None:
    assert noted(club, now, (DAY, True), (DAY - timedelta(days=3), False)) == [(DAY, DAY)]
    assert noted(club, now, (DAY, False)) == [(DAY, DAY)]  # found, and never again missed: nothing to keep
