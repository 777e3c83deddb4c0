"""What depends on an act is found: a newer act that wrote the same field, or a record that refers to what it added."""

from datetime import datetime

from sqlalchemy import select

from obslog.club.register.named_records import add, edit
from obslog.club.register.undo import undo
from obslog.records.database import Database
from obslog.records.history.images import record_kind
from obslog.records.history.steps import steps_of
from obslog.records.tables.logbook_tables import Act, Member, Night, Site
from obslog.records.undoing.dependents import Later, later_act, who_refers


def later(database: Database, sentence: str) -> Later | None:
    """What depends on the oldest act of that sentence."""
    with database.read() as session:
        act = session.scalars(select(Act).where(Act.sentence == sentence).order_by(Act.id)).first()
        assert act is not None
        return later_act(session, act, steps_of(session, act.id))


def test_only_a_newer_act_on_the_same_field_counts(database: Database, now: datetime) -> None:
    add(database, "site", "Mill Field", {}, now)
    edit(database, "site", "Mill Field", {"note": "wet"}, now)
    edit(database, "site", "Mill Field", {"elevation_m": 12.0}, now)
    assert later(database, "edit site Mill Field") is None  # another field
    found = later(database, "add site Mill Field")
    assert found is not None
    assert found.sentence == "edit site Mill Field"
    edit(database, "site", "Mill Field", {"note": "dry"}, now, rename="Otter Meadow")
    found = later(database, "edit site Mill Field")
    assert found is not None
    assert len(found.reference) == 6
    undo(database, now)
    assert later(database, "edit site Mill Field") is None  # what was undone does not count, nor its undoing


def test_a_record_that_refers_is_found_with_the_act_that_wrote_it(database: Database, now: datetime) -> None:
    add(database, "site", "Mill Field", {}, now)
    with database.read() as session:
        key = session.scalars(select(Site.id)).one()
        assert who_refers(session, record_kind(Site), [str(key)]) is None
    with database.write(now, "begin the season") as session:
        session.add(Night(site_id=key, night_of=now.date()))
    with database.read() as session:
        hanging = who_refers(session, record_kind(Site), [str(key)])
        assert hanging is not None
        assert hanging.table == "nights"
        assert hanging.later is not None
        assert hanging.later.sentence == "begin the season"
        assert who_refers(session, record_kind(Member), [str(key)]) is None


def test_of_a_record_that_came_without_an_act_no_act_is_named(database: Database, now: datetime) -> None:
    add(database, "site", "Mill Field", {}, now)
    with database.write(now) as session:
        key = session.scalars(select(Site.id)).one()
        session.add(Night(site_id=key, night_of=now.date()))
    with database.read() as session:
        hanging = who_refers(session, record_kind(Site), [str(key)])
        assert hanging is not None
        assert hanging.later is None
