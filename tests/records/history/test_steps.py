"""What an act did is read as steps: records of one kind that came or went together are one."""

from datetime import datetime

from sqlalchemy import select

from obslog.club.register import named_records
from obslog.club.register.undo import undo
from obslog.records.database import Database
from obslog.records.history.noted_rows import insert_noted
from obslog.records.history.steps import Added, Edited, Removed, Step, steps_of
from obslog.records.tables.keys import new_key
from obslog.records.tables.logbook_tables import Act, Member, Site


def steps(database: Database) -> list[Step]:
    """Of the newest act."""
    with database.read() as session:
        return steps_of(session, session.scalars(select(Act.id).order_by(Act.id.desc())).first() or new_key())


def test_an_edit_is_one_step_with_the_fields_that_differ(club: Database, now: datetime) -> None:
    named_records.edit(club, "member", "Ines", {"note": "tall"}, now, rename="Inez")
    (step,) = steps(club)
    assert isinstance(step, Edited)
    assert step.whole
    assert sorted(step.fields) == ["name", "name_key", "note"]
    assert (step.before["name"], step.after["name"]) == ("Ines", "Inez")


def test_records_of_one_kind_that_came_one_after_another_are_one_step(
    database: Database, now: datetime
) -> None:
    with database.write(now, "found the club") as session:
        session.add_all([Member(name=name, name_key=name.lower()) for name in ("Ines", "Bram")])
        session.flush()
        insert_noted(session, Member, [{"id": new_key(), "name": "Cleo", "name_key": "cleo"}])
        session.add(Site(name="Mill Field", name_key="mill field"))
    members, sites = steps(database)
    assert isinstance(members, Added)
    assert isinstance(sites, Added)
    assert (members.kind.name, len(members.keys)) == ("Member", 3)
    assert (sites.kind.name, len(sites.keys)) == ("Site", 1)


def test_what_an_undoing_removed_is_kept_with_all_its_fields(database: Database, now: datetime) -> None:
    people = [{"id": new_key(), "name": f"M {n}", "name_key": f"m {n}", "note": "new"} for n in range(30)]
    with database.write(now, "import members") as session:
        insert_noted(session, Member, people)
    undo(database, now)
    (step,) = steps(database)
    assert isinstance(step, Removed)
    assert step.whole
    assert step.keys == sorted(str(person["id"]) for person in people)
    assert {row[step.names.index("note")] for row in step.rows} == {"new"}
