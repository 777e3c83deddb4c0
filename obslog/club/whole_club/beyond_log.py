"""Rows of which the history that came along says nothing, or something else: the act of the import notes them.

The log says of every record what its row is, and merging and undoing go by it. A folder as it was exported holds both,
so that nothing is to be noted. Where sheets were changed by hand, or come without the log, this makes the two agree.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Any

from sqlalchemy import Text, cast, select
from sqlalchemy.orm import Session

from obslog.records.history.batches import keys_between
from obslog.records.history.folding import MADE_OF_OTHERS, fold
from obslog.records.history.recorder import note_added, note_changed
from obslog.records.merging.checks import defaults
from obslog.records.merging.kinds import Kind, kinds
from obslog.records.merging.log_reading import LogReader
from obslog.records.merging.row_images import Row, rows_of
from obslog.records.tables.column_types import key_of
from obslog.records.tables.kept import record_obstacles
from obslog.records.tables.logbook import Change, SameRecord

CHUNK = 500


def note_beyond_log(session: Session) -> int:
    """Note what rows say beyond the log, in the session's act; gives of how many records that is.

    Not looked at is what stands otherwise than its own entries say because of another record. A row that is missing is
    no removal, for it may have been lost on the way.
    """
    aside = _otherwise_by_others(session)
    reader = LogReader(session=session, rows_now=lambda _kind, _ids: {})
    noted = 0
    for kind in kinds().values():
        unknown: list[str] = []
        for ids in _ids_of(session, kind):
            told, came_with_many = _told_one_by_one(session, kind, ids), _came_with_many(reader, kind, ids)
            told |= came_with_many[True]
            unknown += [one for one in ids if one not in told and one not in came_with_many[False]]
            noted += _note_changed(session, kind, reader, told.intersection(ids) - aside)
        if unknown:
            note_added(session, kind.mapper.class_, unknown)
        noted += len(unknown)
    return noted


def _note_changed(session: Session, kind: Kind, reader: LogReader, ids: Collection[str]) -> int:
    """Note the records of which the log tells something else than their rows say."""
    if not ids:
        return 0
    rows, noted = rows_of(session, kind, ids), 0
    for record_id, entries in reader.entries(kind.name, ids).items():
        state, row = fold(entries), rows[record_id]
        before = {**defaults(kind), **state.fields} if state.alive else None
        if before is None or _differ(before, row):
            note_changed(session, kind.name, record_id, before, row)
            noted += 1
    return noted


def _differ(before: Mapping[str, Any], row: Row) -> bool:
    return any(before.get(name) != value for name, value in row.items() if name not in MADE_OF_OTHERS)


def _told_one_by_one(session: Session, kind: Kind, ids: Sequence[str]) -> set[str]:
    """The records between the first and the last that have entries of their own."""
    between = Change.record_id.between(key_of(ids[0]), key_of(ids[-1]))
    query = select(cast(Change.record_id, Text)).where(Change.record_kind == kind.name, between)
    return {str(key) for key in session.scalars(query.distinct())}


def _came_with_many(reader: LogReader, kind: Kind, ids: Sequence[str]) -> dict[bool, set[str]]:
    """The records between the first and the last that came with many, by whether their images are kept."""
    found: dict[bool, set[str]] = {True: set(), False: set()}
    for head in reader.heads(kind.name):
        if head.first_id <= ids[-1] and ids[0] <= head.last_id:
            found[head.with_images].update(keys_between(reader.keys(head.id), ids[0], ids[-1]))
    return found


def _ids_of(session: Session, kind: Kind) -> Iterator[list[str]]:
    """The keys of the kind's rows, some hundred at a time."""
    id_ = kind.tables[-1].c.id
    query = select(cast(id_, Text)).order_by(id_).execution_options(yield_per=CHUNK)
    for some in session.scalars(query).partitions(CHUNK):
        yield [str(one) for one in some]


def _otherwise_by_others(session: Session) -> set[str]:
    """The records that another is in the way of, or that are one with another."""
    columns = (
        record_obstacles.c.record_id,
        record_obstacles.c.against_id,
        SameRecord.gone_id,
        SameRecord.kept_id,
    )
    return {
        str(key)
        for column in columns
        for key in session.scalars(select(cast(column, Text)).where(column.is_not(None)))
    }
