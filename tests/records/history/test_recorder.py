"""What a transaction changes is one act, in the order in which the acts came on record, whatever the clock says."""

import time
from datetime import date, datetime, timedelta

import pytest
from sqlalchemy import select

from obslog.club.register import named_records
from obslog.club.register.undo import undo
from obslog.errors import NameTaken
from obslog.exchange.arrivals_rows import SheetRow
from obslog.records.database import Database
from obslog.records.tables import keys
from obslog.records.tables.logbook_tables import Act, Change, Member, Night, Site
from obslog.records.undoing.undo_errors import CannotUndo


def test_an_act_that_changed_nothing_is_not_kept(club: Database, now: datetime) -> None:
    named_records.add(club, "member", "Cleo Marsh", {"note": "tall"}, now)
    named_records.edit(club, "member", "Cleo Marsh", {"note": "tall"}, now)
    assert undo(club, now) == "add member Cleo Marsh"


def test_a_refused_act_is_not_kept(club: Database, now: datetime) -> None:
    with club.read() as session:
        before = len(session.scalars(select(Act)).all())
    with pytest.raises(NameTaken):
        named_records.add(club, "member", "ines", {}, now)
    with club.read() as session:
        assert len(session.scalars(select(Act)).all()) == before


def test_what_an_act_changes_at_once_is_noted_in_the_order_of_the_keys(club: Database, now: datetime) -> None:
    """A session keeps what was changed in the order of addresses, which is another each time."""
    for number in range(12):
        named_records.add(club, "member", f"Member {number}", {}, now)
    with club.write(now, "write notes") as session:
        for member in session.scalars(select(Member).order_by(Member.name.desc())):
            member.note = "came"
    with club.read() as session:
        act = select(Act.id).where(Act.sentence == "write notes").scalar_subquery()
        noted = session.scalars(
            select(Change.record_id).where(Change.act_id == act).order_by(Change.id)
        ).all()
    assert len(noted) >= 12
    assert noted == sorted(noted)


HOUR_NS = 3_600_000_000_000


class ProgramsClock:
    """The clock by which keys are made, in a program that was started anew after each setting of it."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self._patch, self._ns = monkeypatch, time.time_ns()
        self.set(0)

    def set(self, ahead_ns: int) -> None:
        self._patch.setattr(keys, "_last", 0)
        self._patch.setattr(time, "time_ns", lambda: self._ns + ahead_ns)


@pytest.fixture
def programs_clock(monkeypatch: pytest.MonkeyPatch) -> ProgramsClock:
    return ProgramsClock(monkeypatch)


def test_after_the_clock_was_set_back_an_hour_the_last_act_is_undone_first(
    database: Database, now: datetime, programs_clock: ProgramsClock
) -> None:
    programs_clock.set(HOUR_NS)
    named_records.add(database, "member", "Ines", {}, now + timedelta(hours=1))
    programs_clock.set(0)
    for name in ("Bram Ostler", "Cleo Marsh"):
        named_records.add(database, "member", name, {}, now)
    for name in ("Cleo Marsh", "Bram Ostler", "Ines"):
        assert undo(database, now) == f"add member {name}"


def test_acts_of_programs_started_in_one_tick_of_the_clock_are_in_their_order(
    database: Database, now: datetime, programs_clock: ProgramsClock
) -> None:
    names = [
        f"Member {number}" for number in range(12)
    ]  # by lot they would be in order once in 479 million times
    for name in names:
        programs_clock.set(0)  # another program, which knows of no key made before
        named_records.add(database, "member", name, {}, now)
    assert [undo(database, now) for _ in names] == [f"add member {name}" for name in reversed(names)]


def test_an_import_and_a_leave_are_acts_in_that_order_too(
    club: Database, now: datetime, programs_clock: ProgramsClock
) -> None:
    from obslog.club.privacy.leaving_members import leave
    from obslog.club.sheets.arrivals_import import take_in

    programs_clock.set(2 * HOUR_NS)
    named_records.add(club, "member", "Cleo Marsh", {}, now)
    programs_clock.set(HOUR_NS)
    row: SheetRow = {
        "line": 2, "night": "2026-02-20", "site": "Mill Field", "mount": "Heron", "role": "sync",
        "utc": "2026-02-20T20:00:00Z", "target": "Vega",
    }  # fmt: skip
    take_in(club, "a.csv", [row], [], now)
    assert undo(club, now) == "import a.csv"
    programs_clock.set(0)
    leave(club, "Cleo Marsh", now)
    with pytest.raises(CannotUndo, match="a member left"):
        undo(club, now)


def test_corrections_are_told_in_the_order_in_which_they_were_made(
    club: Database, now: datetime, programs_clock: ProgramsClock
) -> None:
    from obslog.club.night.observation_corrections import edit_observation, show_observation
    from obslog.club.night.observations import ObservationEntry
    from obslog.club.night.open_night import NightChoice
    from obslog.records.tables.logbook_tables import Observation

    with club.write(now) as session:
        site = session.scalars(select(Site).where(Site.name == "Mill Field")).one()
        night = Night(site_id=site.id, night_of=date(2026, 3, 2))
        session.add(night)
        session.flush()
        session.add(Observation(night_id=night.id, at_utc=now, target="M 13"))
    for ahead, rating in ((HOUR_NS, 2), (0, 3)):
        programs_clock.set(ahead)
        edit_observation(club, 1, ObservationEntry(rating=rating), now)
    told = [(c.before, c.after) for c in show_observation(club, 1, NightChoice()).corrections]
    assert told == [(None, 2), (2, 3)]
