"""Rows come out as SQLite stores them on either database, and go back in as they were."""

from datetime import datetime

import pytest
from sqlalchemy import select, text

from obslog.club.register.named_records import add
from obslog.records.database import Database
from obslog.records.history.images import image_of, record_kind, record_kinds
from obslog.records.history.rows import (
    change_row,
    going_with,
    images_now,
    put_rows,
    referring,
    remove_rows,
    rows_as_stored,
)
from obslog.records.tables.base import Base
from obslog.records.tables.logbook_tables import Item, Member, Mount, Night, Observation, Site

KINDS = sorted(record_kinds().keys() - {"Act", "Change", "ChangeBatch", "Equipment"})


@pytest.mark.parametrize("name", KINDS)
def test_a_row_of_each_kind_is_what_its_record_is(full_database: Database, name: str) -> None:
    mapped: type[Base] = record_kinds()[name]
    with full_database.read() as session:
        records = {str(record.id): image_of(record) for record in session.scalars(select(mapped))}
        assert records
        assert images_now(session, record_kind(mapped), list(records)) == records


def test_what_was_taken_out_goes_back_in_as_it_was(full_database: Database, now: datetime) -> None:
    kind = record_kind(Observation)
    with full_database.write(now) as session:
        session.add(_seen(session.scalars(select(Night.id)).one(), now))
    with full_database.write(now) as session:
        keys = [str(key) for key in session.scalars(select(Observation.id))]
        before = session.execute(text("SELECT * FROM observations ORDER BY id")).all()
        names, rows = rows_as_stored(session, kind, keys)
        assert [row[names.index("id")] for row in rows] == sorted(keys)
        remove_rows(session, kind, keys)
        assert rows_as_stored(session, kind, keys)[1] == []
        put_rows(session, kind, names, rows)
        assert session.execute(text("SELECT * FROM observations ORDER BY id")).all() == before


def _seen(night_id: object, now: datetime) -> Observation:
    return Observation(night_id=night_id, at_utc=now, target="M 31", description="Très faint", rating=3)  # type: ignore[arg-type]


def test_a_kind_of_two_tables_goes_out_of_both_and_back_into_both(database: Database, now: datetime) -> None:
    add(database, "mount", "Heron", {"refraction": True, "note": "old"}, now)
    kind = record_kind(Mount)
    with database.write(now) as session:
        keys = [str(key) for key in session.scalars(select(Mount.id))]
        names, rows = rows_as_stored(session, kind, keys)
        remove_rows(session, kind, keys)
        tables = ("equipment", "mounts")
        assert [session.scalar(text(f"SELECT count(*) FROM {name}")) for name in tables] == [0, 0]
        put_rows(session, kind, names, rows)
    with database.read() as session:
        mount = session.scalars(select(Mount)).one()
        assert (mount.name, mount.refraction, mount.note) == ("Heron", True, "old")


def test_a_field_that_is_written_changes_what_the_row_is_searched_by(
    full_database: Database, now: datetime
) -> None:
    kind = record_kind(Observation)
    with full_database.write(now) as session:
        key = str(session.scalars(select(Observation.id)).one())
        image = images_now(session, kind, [key])[key] | {"target": "M 31", "filter": "UHC"}
        change_row(session, kind, image, ["target"])
        row = session.execute(text("SELECT target, filter, search_text FROM observations")).one()
    assert tuple(row[:2]) == ("M 31", None)
    assert str(row[2]).startswith("m 31")


def test_who_refers_to_a_record_is_found_and_a_record_of_its_own_is_none(full_database: Database) -> None:
    with full_database.read() as session:
        site = str(session.scalars(select(Site.id)).one())
        found = referring(session, record_kind(Site), [site])
        assert found is not None
        assert found[0] in ("nights", "setups", "snags", "ticks")
        member = Member(name="Nobody", name_key="nobody")
        assert referring(session, record_kind(Member), [str(member.id)]) is None
        item = str(session.scalars(select(Item.id)).one())
        assert referring(session, record_kind(Item), [item]) is not None


def test_what_the_database_takes_away_with_a_row_is_known() -> None:
    assert {table.name for table, _ in going_with("reservations")} == {"reminders"}
    assert {table.name for table, _ in going_with("equipment")} == {
        "papers",
        "photographs",
        "receipts",
        "stocktake_lines",
        "stocktake_not_found",
        "stocktake_ticks",
    }
