"""The record of acts: what each transaction added and changed, so that a typing slip can be undone, and done again.

A session's new, changed and deleted records are noted as they are flushed, in the form in which SQLite stores their
columns, which is plain JSON on either database. What is inserted in bulk is noted by `records/noted_rows.py`; the
arrivals of a sheet are not noted one by one, and their act is written down by the import itself.
"""

import json
from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any, cast
from uuid import UUID

from sqlalchemy import Select, Table, event, func, insert, inspect, select, update
from sqlalchemy.dialects.sqlite import dialect as sqlite_dialect
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Mapper, Session
from sqlalchemy.types import TypeDecorator, TypeEngine

from obslog.errors import ObslogError
from obslog.records.bulk_insert import insert_rows
from obslog.records.tables.base import Base
from obslog.records.tables.keys import key_after, new_keys_as_text
from obslog.records.tables.logbook import Act, Change
from obslog.records.tables.search_text import SEARCHED, search_text

_STORED = sqlite_dialect()
_CALLED = "what the act is called"
_RECORDER = "who notes the changes"
_NOTED = ("record_kind", "record_id", "before", "after")
_ACTS_LOCK = 716_823_002  # any number, the same for all who write acts into one PostgreSQL database


class NothingToUndo(ObslogError):
    def __init__(self) -> None:
        super().__init__("There is nothing to undo.", "See what is on record: obslog night show")


class CannotUndo(ObslogError):
    def __init__(self, sentence: str, why: str, hint: str = "Use edit instead.") -> None:
        super().__init__(
            f"The last act ({sentence}) cannot be undone: {why}.", f"Nothing was changed. {hint}"
        )


class NotOneToUndo(CannotUndo):
    """An act that noted nothing of what was there before."""

    def __init__(self, sentence: str) -> None:
        super().__init__(
            sentence,
            "what was there before is not kept",
            "Importing a sheet and removing a member cannot be undone.",
        )


class NothingToRedo(ObslogError):
    def __init__(self) -> None:
        super().__init__(
            "There is nothing to redo.", "Only what was undone last, before anything new, can be."
        )


class CannotRedo(ObslogError):
    def __init__(self, sentence: str, why: str) -> None:
        super().__init__(
            f"The act that was undone ({sentence}) cannot be done again: {why}.",
            "Nothing was changed. Record it anew instead.",
        )


def write_act(session: Session, sentence: str, now: datetime) -> UUID:
    """Write an act down as the last of all on record, whatever the clock says; gives its key."""
    wait_for_other_acts(session)
    newest = session.execute(select(Act.id, Act.undone_utc).order_by(Act.id.desc()).limit(1)).one_or_none()
    if newest is not None and newest.undone_utc is not None:
        _settle_undone(session, now)
    act_id = key_after(newest.id if newest else None)
    session.execute(insert(Act).values(id=act_id, at_utc=now, sentence=sentence))
    return act_id


def call_act(session: Session, sentence: str) -> None:
    """Call the act of this session so, instead of what it began as: with the whole names of what was found."""
    session.info[_CALLED] = sentence


class ActRecorder:
    """Notes what a session changes, and writes it down as one act."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._changes: list[dict[str, Any]] = []
        session.info[_RECORDER] = self
        event.listen(session, "before_flush", self._note)

    def write(self, sentence: str, now: datetime) -> None:
        """Write the act down; one that changed nothing is none, or undo would stop at it."""
        self._session.flush()
        if not self._changes:
            return
        act_id = write_act(self._session, self._session.info.get(_CALLED, sentence), now)
        columns = ("id", "act_id", *_NOTED)
        keys = new_keys_as_text(len(self._changes))
        rows = [
            (key, act_id, *(change[name] for name in _NOTED))
            for key, change in zip(keys, self._changes, strict=True)
        ]
        insert_rows(self._session, cast(Table, Change.__table__), columns, rows)

    def note_added(self, kind: str, added: Sequence[tuple[UUID, dict[str, Any]]]) -> None:
        """Note records that went in past the session: the key of each, and its columns as SQLite stores them."""
        self._changes += [
            {"record_kind": kind, "record_id": key, "before": None, "after": json.dumps(columns)}
            for key, columns in added
        ]

    def _note(self, session: Session, _context: object, _instances: object) -> None:
        for record in session.new:
            self._add(record, None, _columns(record))
        for record in session.dirty:
            if session.is_modified(record):
                self._add(record, _columns(record, before=True), _columns(record))
        for record in session.deleted:
            self._add(record, _columns(record, before=True), None)

    def _add(self, record: Any, before: dict[str, Any] | None, after: dict[str, Any] | None) -> None:
        self._changes.append(
            {
                "record_kind": type(record).__name__,
                "record_id": record.id,
                "before": None if before is None else json.dumps(before),
                "after": None if after is None else json.dumps(after),
            }
        )


def recorder_of(session: Session) -> ActRecorder | None:
    """Who notes what this session changes; None in a transaction that is no act."""
    found: ActRecorder | None = session.info.get(_RECORDER)
    return found


def undo_last(session: Session, now: datetime) -> str:
    """Take back the newest act that has not been undone; gives its sentence.

    Raises NothingToUndo, CannotUndo where something newer hangs on what it added, or NotOneToUndo.
    """
    wait_for_other_acts(session)
    act = session.scalar(select(Act).where(Act.undone_utc.is_(None)).order_by(Act.id.desc()).limit(1))
    if act is None:
        raise NothingToUndo
    sentence = act.sentence  # read now: after a refusal by the database nothing can be read any more
    changes = session.scalars(select(Change).where(Change.act_id == act.id).order_by(Change.id.desc())).all()
    if not changes:
        raise NotOneToUndo(sentence)
    try:
        for change in changes:
            _take_back(session, change, sentence)
            session.flush()
    except IntegrityError as error:
        raise CannotUndo(sentence, "something newer depends on it") from error
    act.undone_utc = now
    return sentence


def redo_next(session: Session, now: datetime) -> str:
    """Do the act again whose undoing was the last; gives its sentence.

    Raises NothingToRedo where nothing was undone, or something newer is on record; CannotRedo.
    """
    wait_for_other_acts(session)
    act = session.scalar(_undone(session).order_by(Act.id).limit(1))
    if act is None:
        raise NothingToRedo
    sentence = act.sentence  # read now: after a refusal by the database nothing can be read any more
    try:
        for change in session.scalars(
            select(Change).where(Change.act_id == act.id).order_by(Change.id)
        ).all():
            _do_again(session, change, sentence)
            session.flush()
    except IntegrityError as error:
        raise CannotRedo(sentence, "something on record stands in its way") from error
    act.undone_utc = None
    return sentence


def _undone(session: Session) -> Select[Act]:
    """The acts that can be done again: undone, and newer than all that are not; undone from the newest back."""
    last = session.scalar(select(Act.id).where(Act.undone_utc.is_(None)).order_by(Act.id.desc()).limit(1))
    undone = select(Act).where(Act.undone_utc.is_not(None), Act.settled_utc.is_(None))
    return undone if last is None else undone.where(Act.id > last)


def _settle_undone(session: Session, now: datetime) -> None:
    """Something new is recorded: what was undone before it stays undone."""
    keys = [act.id for act in session.scalars(_undone(session))]
    session.execute(
        update(Act).where(Act.id.in_(keys)).values(settled_utc=now)
    )  # not itself a change to be undone


def wait_for_other_acts(session: Session) -> None:
    """Let no other transaction write or undo an act until this one ends; on SQLite none can write anyway.

    Acts wait before they write anything: two that held a row each, and waited for the other's, would wait for ever.
    """
    if session.get_bind().dialect.name == "postgresql":
        session.execute(select(func.pg_advisory_xact_lock(_ACTS_LOCK)))


def _take_back(session: Session, change: Change, sentence: str) -> None:
    kind = _kinds()[change.record_kind]
    record = session.get(kind, change.record_id)
    if change.before is None:
        if record is not None:
            session.delete(record)
        return
    values = _read(inspect(kind), json.loads(change.before))
    if record is None:
        if change.after is not None:
            raise CannotUndo(sentence, "the record is gone")
        _put_back(session, inspect(kind), values)
        return
    for name, value in values.items():
        setattr(record, name, value)


def _do_again(session: Session, change: Change, sentence: str) -> None:
    kind = _kinds()[change.record_kind]
    record = session.get(kind, change.record_id)
    if (record is None) != (change.before is None):
        raise CannotRedo(sentence, "the record is gone" if record is None else "the record is there already")
    if change.after is None:
        session.delete(record)
        return
    values = _read(inspect(kind), json.loads(change.after))
    if record is None:
        _put_back(session, inspect(kind), values)
        return
    for name, value in values.items():
        setattr(record, name, value)


def _put_back(session: Session, mapper: Mapper[Any], values: dict[str, Any]) -> None:
    """Insert the record anew, into each of the tables over which its kind is spread.

    A column that came with a later revision is not among the values, and is left at its default.
    """
    for table in mapper.tables:
        keys = {column: mapper.get_property_by_column(column).key for column in table.columns}
        of_table = {column: values[key] for column, key in keys.items() if key in values}
        if searched := SEARCHED.get(str(table.name)):
            of_table[table.c.search_text] = search_text([values.get(name) for name in searched])
        session.execute(insert(table).values(of_table))


def _kinds() -> dict[str, type[Base]]:
    from obslog.records.tables import schema  # noqa: F401 - whatever was changed, its table must be known here

    return {mapper.class_.__name__: mapper.class_ for mapper in Base.registry.mappers}


def _columns(record: Any, before: bool = False) -> dict[str, Any]:
    """The record's columns as SQLite stores them; as they were before the change where asked."""
    state = inspect(record)
    values: dict[str, Any] = {}
    for attribute in state.mapper.column_attrs:
        value = getattr(record, attribute.key)
        if before and (old := state.attrs[attribute.key].history.deleted):
            value = old[0]
        kind = attribute.columns[0].type
        values[attribute.key] = as_stored(kind, value)
    return values


def as_stored(kind: TypeEngine[Any], value: Any) -> Any:
    """The value of a column as SQLite stores it, which is plain JSON."""
    return kind.process_bind_param(value, _STORED) if isinstance(kind, TypeDecorator) else value


def _read(mapper: Mapper[Any], stored: dict[str, Any]) -> dict[str, Any]:
    columns: Iterable[tuple[str, Any]] = ((a.key, a.columns[0].type) for a in mapper.column_attrs)
    return {
        key: cast(Any, kind).process_result_value(stored[key], _STORED)
        if isinstance(kind, TypeDecorator)
        else stored[key]
        for key, kind in columns
        if key in stored
    }
