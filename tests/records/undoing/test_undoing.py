"""Any act can be taken back, the newest first or by its reference, and each undoing is an act of its own."""

from dataclasses import replace
from datetime import datetime, timedelta
from threading import Thread
from uuid import UUID

import pytest
from sqlalchemy import insert, select

from obslog.club.register import named_records
from obslog.club.register import undo as taking_back
from obslog.records.database import Database
from obslog.records.history.author import Author
from obslog.records.tables.keys import reference_of
from obslog.records.tables.logbook_tables import Act, Change, Member, Night, Site
from obslog.records.undoing.undo_errors import (
    CannotUndo,
    NothingOfHereToUndo,
    NothingToUndo,
    NotOneToUndo,
    UndoneAlready,
)
from obslog.records.undoing.undoing import undo_last, undo_named


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


def test_what_a_sheet_brought_before_a_history_was_kept_cannot_be_undone(
    database: Database, now: datetime
) -> None:
    with database.write(now) as session:
        session.execute(insert(Member), [{"name": "Ines", "name_key": "ines"}])
        session.add(Act(at_utc=now, sentence="import arrivals.csv"))
    with pytest.raises(NotOneToUndo, match=r"import arrivals\.csv") as caught:
        undo(database, now)
    assert "what came in with a sheet before a history was kept" in caught.value.hint
    assert members(database) == ["Ines"]


def test_an_undoing_is_an_act_of_its_own_and_the_old_one_stays(database: Database, now: datetime) -> None:
    later = now + timedelta(hours=1)
    named_records.add(database, "member", "Ines", {}, now)
    undo(database, later)
    with database.read() as session:
        act, undoing = session.scalars(select(Act).order_by(Act.id))
        added, removed = session.scalars(select(Change).order_by(Change.id))
        assert (act.sentence, act.at_utc, act.undone_utc, act.undoes_id) == (
            "add member Ines", now, later, None,
        )  # fmt: skip
        assert (undoing.sentence, undoing.at_utc, undoing.undone_utc, undoing.undoes_id) == (
            "undo: add member Ines", later, None, act.id,
        )  # fmt: skip
        assert (added.act_id, added.record_kind, added.before) == (act.id, "Member", None)
        assert (removed.act_id, removed.record_id, removed.after) == (undoing.id, added.record_id, None)
        assert removed.before == added.after


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


def reference(database: Database, sentence: str) -> str:
    """Of the newest act of that sentence."""
    with database.read() as session:
        query = select(Act.id).where(Act.sentence == sentence).order_by(Act.id.desc())
        return reference_of(session.scalars(query).first() or keys_of_nothing())


def keys_of_nothing() -> UUID:
    raise AssertionError("there is no such act")


def undo_one(database: Database, sentence: str, now: datetime) -> str:
    with database.write(now) as session:
        return undo_named(session, reference(database, sentence), now)


def test_an_act_in_the_middle_is_taken_back_alone(club: Database, now: datetime) -> None:
    before = named_records.shown(club, "site", "Mill Field")
    named_records.edit(club, "site", "Mill Field", {"note": "wet"}, now)
    named_records.edit(club, "site", "Mill Field", {"elevation_m": 12.0}, now, rename="Otter Meadow")
    named_records.add(club, "member", "Cleo Marsh", {}, now)
    assert undo_one(club, "edit site Mill Field", now) == "edit site Mill Field"  # of that name the newest
    site = named_records.shown(club, "site", "Mill Field")
    assert (site["note"], site["elevation_m"]) == ("wet", before["elevation_m"])
    assert "Cleo Marsh" in members(club)


def test_only_the_fields_that_the_act_wrote_go_back(club: Database, now: datetime) -> None:
    named_records.edit(club, "member", "Ines", {"note": "tall"}, now)
    with club.write(now, "take Ines out of use") as session:
        member = session.scalars(select(Member).where(Member.name == "Ines")).one()
        member.retired_on = now.date()
    undo_one(club, "edit member Ines", now)
    found = named_records.shown(club, "member", "Ines")
    assert (found["note"], found["retired_on"]) == (None, now.date())


def test_what_something_later_depends_on_is_refused_and_what_to_do_is_said(
    database: Database, now: datetime
) -> None:
    named_records.add(database, "site", "Mill Field", {"zone": "Europe/London"}, now)
    with database.write(now, "begin the season") as session:
        session.add(Night(site_id=session.scalars(select(Site.id)).one(), night_of=now.date()))
    with pytest.raises(CannotUndo) as refused:
        undo_one(database, "add site Mill Field", now)
    assert refused.value.message == (
        "The act (add site Mill Field) cannot be undone: something newer depends on it: begin the season."
    )
    first = reference(database, "begin the season")
    assert refused.value.hint == f"Nothing was changed. Take that back first: obslog undo {first}"
    with database.write(now) as session:
        undo_named(session, first, now)
    assert undo_one(database, "add site Mill Field", now) == "add site Mill Field"


def test_a_later_change_of_the_same_field_is_refused(club: Database, now: datetime) -> None:
    named_records.edit(club, "member", "Ines", {"note": "tall"}, now)
    named_records.edit(club, "member", "Ines", {"note": "short"}, now, rename="Inez")
    with club.read() as session:
        first = session.scalars(
            select(Act.id).where(Act.sentence == "edit member Ines").order_by(Act.id)
        ).first()
    assert first is not None
    with (
        pytest.raises(CannotUndo, match="something newer depends on it: edit member Ines"),
        club.write(now) as session,
    ):
        undo_named(session, reference_of(first), now)
    undo(club, now)
    with club.write(now) as session:
        undo_named(session, reference_of(first), now)
    assert named_records.shown(club, "member", "Ines")["note"] is None


def test_taking_back_an_undoing_is_doing_it_again_and_taking_that_back_too(
    club: Database, now: datetime
) -> None:
    named_records.add(club, "member", "Cleo Marsh", {}, now)
    undo(club, now)
    named_records.add(club, "site", "Otter Meadow", {}, now)
    assert undo_one(club, "undo: add member Cleo Marsh", now) == "add member Cleo Marsh"
    assert "Cleo Marsh" in members(club)
    assert undo_one(club, "redo: add member Cleo Marsh", now) == "add member Cleo Marsh"
    assert "Cleo Marsh" not in members(club)
    with pytest.raises(UndoneAlready):
        undo_one(club, "add member Cleo Marsh", now)


def at_machine(database: Database, number: int) -> Database:
    """The same database, written to from a machine of that number."""
    author = Author(who=None, origin=UUID(int=number))
    return replace(database, find_author=lambda: author)


def test_what_another_machine_did_is_taken_back_by_its_reference_alone(
    database: Database, now: datetime
) -> None:
    here, there = at_machine(database, 1), at_machine(database, 2)
    named_records.add(here, "member", "Of here", {}, now)
    named_records.add(there, "member", "Of there", {}, now)
    assert taking_back.undo(here, now) == "add member Of here"
    assert taking_back.redo(here, now) == "add member Of here"
    assert taking_back.undo(here, now) == "add member Of here"
    with pytest.raises(NothingOfHereToUndo):
        taking_back.undo(at_machine(database, 3), now)
    with database.read() as session:
        key = session.scalars(select(Act.id).where(Act.sentence == "add member Of there")).one()
    assert taking_back.undo(here, now, str(key)) == "add member Of there"
