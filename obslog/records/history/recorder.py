"""Noting what each transaction adds, changes and removes, and writing it down as one act.

A session's new, changed and deleted records are noted as they are flushed. What is inserted in bulk is noted by
`noted_rows.py`; the arrivals of a sheet are not noted one by one, and their act is written down by the import itself.
"""

import json
from collections.abc import Sequence
from datetime import datetime
from typing import Any, cast
from uuid import UUID

from sqlalchemy import Select, Table, event, func, insert, select, update
from sqlalchemy.orm import Session

from obslog.records.bulk_insert import insert_rows
from obslog.records.history.images import image_of
from obslog.records.tables.keys import key_after, new_keys_as_text
from obslog.records.tables.logbook import Act, Change

_CALLED = "what the act is called"
_RECORDER = "who notes the changes"
_NOTED = ("record_kind", "record_id", "before", "after")
_ACTS_LOCK = 716_823_002  # any number, the same for all who write acts into one PostgreSQL database


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
            self._add(record, None, image_of(record))
        for record in session.dirty:
            if session.is_modified(record):
                self._add(record, image_of(record, before=True), image_of(record))
        for record in session.deleted:
            self._add(record, image_of(record, before=True), None)

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


def wait_for_other_acts(session: Session) -> None:
    """Let no other transaction write or undo an act until this one ends; on SQLite none can write anyway.

    Acts wait before they write anything: two that held a row each, and waited for the other's, would wait for ever.
    """
    if session.get_bind().dialect.name == "postgresql":
        session.execute(select(func.pg_advisory_xact_lock(_ACTS_LOCK)))


def undone_acts(session: Session) -> Select[Act]:
    """The acts that can be done again: undone, and newer than all that are not; undone from the newest back."""
    last = session.scalar(select(Act.id).where(Act.undone_utc.is_(None)).order_by(Act.id.desc()).limit(1))
    undone = select(Act).where(Act.undone_utc.is_not(None), Act.settled_utc.is_(None))
    return undone if last is None else undone.where(Act.id > last)


def _settle_undone(session: Session, now: datetime) -> None:
    """Something new is recorded: what was undone before it stays undone."""
    keys = [act.id for act in session.scalars(undone_acts(session))]
    session.execute(
        update(Act).where(Act.id.in_(keys)).values(settled_utc=now)
    )  # not itself a change to be undone
