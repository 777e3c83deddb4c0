"""What an act changed can be taken back, the newest first, and as a whole or not at all."""

import time
from datetime import date, datetime, timedelta
from threading import Thread

import pytest
from sqlalchemy import insert, select

from obslog.club.register import named_records
from obslog.club.storeroom import retirement
from obslog.errors import NameTaken
from obslog.exchange.arrivals_rows import SheetRow
from obslog.records.opening import Database
from obslog.records.tables import keys
from obslog.records.tables.logbook_tables import Act, Change, Member, Mount, Night, Site
from obslog.records.undo_log import CannotUndo, NothingToUndo, undo_last
from obslog.vocabulary import MountType


def undo(database: Database, now: datetime) -> str:
    with database.write(now) as session:
        return undo_last(session, now)


def members(database: Database) -> list[str]:
    return [member["name"] for member in named_records.listed(database, "member")]


def test_there_is_nothing_to_undo_at_first(database: Database, now: datetime) -> None:
    with pytest.raises(NothingToUndo):
        undo(database, now)


def test_undo_takes_an_added_record_away(database: Database, now: datetime) -> None:
    named_records.add(database, "member", "Ines", {}, now)
    assert undo(database, now) == "add member Ines"
    assert members(database) == []


def test_undo_gives_an_edited_record_its_old_values_back(club: Database, now: datetime) -> None:
    before = named_records.shown(club, "site", "Mill Field")
    changes = {"lat_deg": 51.0, "elevation_m": None, "note": "wet", "zone": "Europe/Paris"}
    named_records.edit(club, "site", "Mill Field", changes, now, rename="Otter Meadow")
    undo(club, now)
    assert named_records.shown(club, "site", "Mill Field") == before


def test_undo_gives_words_flags_and_dates_back(club: Database, now: datetime) -> None:
    before = named_records.shown(club, "mount", "Heron")
    named_records.edit(club, "mount", "Heron", {"mount_type": MountType.FORK, "refraction": True}, now)
    retirement.retire(club, "mount", "Heron", "worn out", now.date(), now)
    undo(club, now)
    undo(club, now)
    assert named_records.shown(club, "mount", "Heron") == before


def test_undo_brings_a_removed_record_back(club: Database, now: datetime) -> None:
    before = named_records.shown(club, "mount", "Heron")
    with club.write(now, "throw Heron away") as session:
        session.delete(session.scalars(select(Mount).where(Mount.name == "Heron")).one())
    assert "Heron" not in [mount["name"] for mount in named_records.listed(club, "mount")]
    undo(club, now)
    assert named_records.shown(club, "mount", "Heron") == before


def test_undo_again_takes_back_the_next_older_act(database: Database, now: datetime) -> None:
    for name in ("Ines", "Bram Ostler", "Cleo Marsh"):
        named_records.add(database, "member", name, {}, now)
    assert undo(database, now) == "add member Cleo Marsh"
    assert undo(database, now) == "add member Bram Ostler"
    assert members(database) == ["Ines"]


def test_after_an_undo_the_next_act_is_the_newest(database: Database, now: datetime) -> None:
    named_records.add(database, "member", "Ines", {}, now)
    undo(database, now)
    named_records.add(database, "member", "Bram Ostler", {}, now)
    assert undo(database, now) == "add member Bram Ostler"
    with pytest.raises(NothingToUndo):
        undo(database, now)


def test_an_act_of_several_changes_is_taken_back_as_a_whole(club: Database, now: datetime) -> None:
    with club.write(now, "begin the season") as session:
        site = session.scalars(select(Site).where(Site.name == "Mill Field")).one()
        night = Night(site_id=site.id, night_of=now.date())
        session.add(night)
        session.flush()
        night.note = "first"
        session.flush()
        night.note = "second"
        site.note = "mown"
        session.add(Member(name="Cleo Marsh", name_key="cleo marsh"))
    assert undo(club, now) == "begin the season"
    with club.read() as session:
        assert session.scalars(select(Night)).all() == []
    assert members(club) == ["Bram Ostler", "Ines"]
    assert named_records.shown(club, "site", "Mill Field")["note"] is None


def test_what_something_newer_hangs_on_cannot_be_undone(database: Database, now: datetime) -> None:
    named_records.add(database, "site", "Mill Field", {"zone": "Europe/London"}, now)
    with database.write(now) as session:  # as when a sheet came in from another laptop
        site = session.scalars(select(Site)).one()
        session.add(Night(site_id=site.id, night_of=now.date()))
    with pytest.raises(CannotUndo, match="something newer depends on it"):
        undo(database, now)
    assert named_records.shown(database, "site", "Mill Field")["zone"] == "Europe/London"


def test_an_old_name_that_was_given_away_since_cannot_be_taken_back(
    database: Database, now: datetime
) -> None:
    named_records.add(database, "member", "Ines", {}, now)
    named_records.edit(database, "member", "Ines", {}, now, rename="Inez")
    with database.write(now) as session:
        session.add(Member(name="Ines", name_key="ines"))
    with pytest.raises(CannotUndo):
        undo(database, now)
    assert members(database) == ["Ines", "Inez"]


def test_an_import_cannot_be_undone(database: Database, now: datetime) -> None:
    with database.write(now) as session:
        session.execute(insert(Member), [{"name": "Ines", "name_key": "ines"}])
        session.add(Act(at_utc=now, sentence="import arrivals.csv"))
    with pytest.raises(CannotUndo, match=r"import arrivals\.csv") as caught:
        undo(database, now)
    assert "Importing a sheet and removing a member cannot be undone." in caught.value.hint
    assert members(database) == ["Ines"]


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


def test_acts_stay_on_record_after_they_are_undone(database: Database, now: datetime) -> None:
    named_records.add(database, "member", "Ines", {}, now)
    undo(database, now)
    with database.read() as session:
        act = session.scalars(select(Act)).one()
        change = session.scalars(select(Change)).one()
        assert (act.sentence, act.at_utc, act.undone_utc) == ("add member Ines", now, now)
        assert (change.act_id, change.record_kind, change.before) == (act.id, "Member", None)


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
    from obslog.club.register.leaving_members import leave
    from obslog.club.sheets.arrivals_import import take_in

    programs_clock.set(2 * HOUR_NS)
    named_records.add(club, "member", "Cleo Marsh", {}, now)
    programs_clock.set(HOUR_NS)
    row: SheetRow = {
        "line": 2, "night": "2026-02-20", "site": "Mill Field", "mount": "Heron", "role": "sync",
        "utc": "2026-02-20T20:00:00Z", "target": "Vega",
    }  # fmt: skip
    take_in(club, "a.csv", [row], [], now)
    with pytest.raises(CannotUndo, match=r"import a\.csv"):
        undo(club, now)
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


def test_two_programs_that_undo_at_one_moment_take_back_two_acts(database: Database, now: datetime) -> None:
    for name in ("Ines", "Bram Ostler", "Cleo Marsh"):
        named_records.add(database, "member", name, {}, now)
    undone: list[str] = []
    programs = [Thread(target=lambda: undone.append(undo(database, now))) for _ in range(2)]
    for program in programs:
        program.start()
    for program in programs:
        program.join()
    assert sorted(undone) == ["add member Bram Ostler", "add member Cleo Marsh"]
    assert members(database) == ["Ines"]
