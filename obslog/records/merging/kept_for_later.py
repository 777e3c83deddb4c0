"""What a newer program has to make rows anew of: what was told before there was a column for it, stocktakes that an
upgrade let go so that one is open, and what an older one set aside by other rules than those of today.
"""

import json
from collections.abc import Collection, Iterator, Mapping
from datetime import date

from sqlalchemy import Connection, Text, cast, inspect, or_, select, text, update
from sqlalchemy.orm import Session

from obslog.records.history.batches import unpacked_images, unpacked_keys
from obslog.records.merging import obstacles
from obslog.records.merging.batch_images import keep_images_of
from obslog.records.merging.kinds import Kind, kinds
from obslog.records.merging.known_world import Key
from obslog.records.merging.log_reading import LogReader
from obslog.records.merging.row_images import Row, rows_of
from obslog.records.merging.settling import settle, would_settle
from obslog.records.merging.standing import Aside
from obslog.records.tables.column_types import key_of
from obslog.records.tables.kept import record_obstacles
from obslog.records.tables.logbook import Change, ChangeBatch
from obslog.records.tables.officer import Stocktake

_STOCKTAKE = Stocktake.__name__
_LET_GO_ON = date(9999, 12, 31)
"""The day on which revision 0017 says that they were finished."""
Columns = Mapping[str, frozenset[str]]
"""The columns of each table of a database."""


def columns_there(connection: Connection) -> Columns:
    found = inspect(connection)
    return {
        table: frozenset(column["name"] for column in found.get_columns(table))
        for table in found.get_table_names()
    }


def take_up_what_was_kept(connection: Connection, before: Columns) -> None:
    """Make rows anew of which the log tells columns that were not there `before`, in the connection's transaction."""
    if record_obstacles.name not in before:  # a program that old took in nothing
        return
    with Session(connection) as session:
        told = {
            (kind.name, record_id)
            for kind in kinds().values()
            if (new := _new_columns(kind, before))
            for record_id in _told_of(session, kind, new)
        }
        if told:
            settle(session, told)
            session.flush()


def _new_columns(kind: Kind, before: Columns) -> set[str]:
    return {
        kind.mapper.get_property_by_column(column).key
        for table in kind.tables
        for column in table.columns
        if column.name not in before.get(table.name, ()) and not column.primary_key
    }


def _told_of(session: Session, kind: Kind, columns: set[str]) -> Iterator[str]:
    """The records of which the log tells one of these columns."""
    query = select(cast(Change.record_id, Text), Change.after).where(
        Change.record_kind == kind.name,
        or_(*(Change.after.contains(f'"{name}"') for name in sorted(columns))),
    )
    for record_id, after in session.execute(query):
        if after and columns & json.loads(after).keys():
            yield record_id
    many = select(ChangeBatch.record_ids, ChangeBatch.images).where(
        ChangeBatch.record_kind == kind.name, ChangeBatch.what == "added", ChangeBatch.images.is_not(None)
    )
    for packed, images in session.execute(many):
        if columns & set(unpacked_images(images or b"")[0]):
            yield from unpacked_keys(packed)


def make_one_of_those_let_go(connection: Connection) -> None:
    """Make rows of the log for stocktakes that the upgrade let go, in the connection's transaction.

    One of which the log knows nothing, as another program may have written it, was finished on the day it began.
    """
    with Session(connection) as session:
        query = select(cast(Stocktake.id, Text)).where(Stocktake.finished_on == _LET_GO_ON)
        let_go = set(session.scalars(query))
        if not let_go:
            return
        known = _told_as_open(session, let_go)
        strangers = [key_of(one) for one in let_go - known]
        session.execute(
            update(Stocktake).where(Stocktake.id.in_(strangers)).values(finished_on=Stocktake.started_on)
        )
        settle(session, {(_STOCKTAKE, one) for one in known})
        session.flush()


def _told_as_open(session: Session, let_go: Collection[str]) -> set[str]:
    """Those of them that the log knows; where a row alone tells of one, it is kept that it was open."""

    def as_they_were(kind: str, ids: Collection[str]) -> Mapping[str, Row]:
        rows = rows_of(session, kinds()[kind], ids)
        return {key: row | {"finished_on": None} if key in let_go else row for key, row in rows.items()}

    reader = LogReader(session=session, rows_now=as_they_were)
    known = set(reader.entries(_STOCKTAKE, let_go))
    keep_images_of(reader, _STOCKTAKE, known)
    return known


def may_settle_all(session: Session) -> bool:
    """Whether whoever asks may write all records that are set aside: on a server with roles not everybody may."""
    if session.get_bind().dialect.name == "sqlite":
        return True
    asked = f"SELECT has_table_privilege('{record_obstacles.name}', 'UPDATE')"
    return bool(session.scalar(text(asked)))


def set_aside_otherwise(session: Session) -> list[Key]:
    """The records that do not stand as settling what is set aside would have them, in order; nothing is written."""
    there: dict[Key, set[Aside]] = {}
    for kind, record_id, aside in obstacles.all_asides(session):
        if kind in kinds():
            there.setdefault((kind, record_id), set()).add(aside)
    if not there:
        return []
    anew = would_settle(session, there)
    return sorted(
        key
        for key, row in anew.after.items()
        if row != anew.before[key] or set(anew.asides.get(key, ())) != there.get(key, set())
    )


def settle_set_aside(session: Session) -> None:
    """Make rows anew of all that is set aside, in the session's transaction."""
    settle(session, [(kind, record_id) for kind, record_id, _aside in obstacles.all_asides(session)])
