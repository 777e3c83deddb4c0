"""Noting what each transaction adds, changes and removes, and writing it down as one act.

A session's new, changed and deleted records are noted as they are flushed. What goes in past the session, many rows at
once, is noted by whoever puts it there (`note_added`).
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any
from uuid import UUID

from sqlalchemy import event, func, insert, inspect, select
from sqlalchemy.orm import Session
from sqlalchemy.orm.base import NO_VALUE

from obslog.records.history.author import NOBODY, Author, as_the_server_knows
from obslog.records.history.images import Image, image_of, record_kind
from obslog.records.history.notes import Notes
from obslog.records.history.rows import images_now
from obslog.records.nameless import MEMBER, refuse_who_left
from obslog.records.tables.base import Base
from obslog.records.tables.keys import key_after
from obslog.records.tables.logbook import Act

AUTHOR = "who writes acts"  # in the info of a session: a function that gives the Author
ACT_WRITTEN = "the key of the act"
# Or it may stand otherwise: it is settled before the transaction ends.
TO_SETTLE = "what was put back has no place"
_ASKED = "the author, once asked for"
_CALLED = "what the act is called"
_RECORDER = "who notes the changes"
_ACTS_LOCK = 716_823_002  # any number, the same for all who write acts into one PostgreSQL database


def write_act(session: Session, sentence: str, now: datetime, undoes_id: UUID | None = None) -> UUID:
    """Write an act down as the last of all on record, whatever the clock says; gives its key."""
    wait_for_other_acts(session)
    act_id = key_after(session.scalar(select(Act.id).order_by(Act.id.desc()).limit(1)))
    author = author_of(session)
    session.execute(
        insert(Act).values(
            id=act_id,
            at_utc=now,
            sentence=sentence,
            who=author.who,
            origin=author.origin,
            undoes_id=undoes_id,
        )
    )
    session.info[ACT_WRITTEN] = act_id
    return act_id


def call_act(session: Session, sentence: str) -> None:
    """Call the act of this session so, instead of what it began as: with the whole names of what was found."""
    session.info[_CALLED] = sentence


def write_under(session: Session, who: str) -> None:
    """Let the act of this session be told under this name, instead of that by which somebody types."""
    session.info[_ASKED] = replace(author_of(session), who=who)


class ActRecorder:
    """Notes what a session changes, and writes it down as one act."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self.notes = Notes()
        session.info[_RECORDER] = self
        event.listen(session, "before_flush", self._note)

    def write(self, sentence: str, now: datetime) -> None:
        """Write the act down; one that changed nothing is none, or undo would stop at it."""
        self._session.flush()
        if not self.notes:
            return
        act_id = write_act(self._session, self._session.info.get(_CALLED, sentence), now)
        self.notes.write(self._session, act_id)

    def _note(self, session: Session, _context: object, _instances: object) -> None:
        for record in session.new:
            self.notes.changed(type(record).__name__, record.id, None, image_of(record))
        for record in sorted(
            session.dirty, key=_kind_and_key
        ):  # the session's own order is that of addresses
            if session.is_modified(record):
                kind, before = type(record).__name__, self._before(record)
                if kind == MEMBER:
                    refuse_who_left(before["name"])
                self.notes.changed(kind, record.id, before, image_of(record))
        for record in session.deleted:
            self._remove_what_goes_with(record)
            self.notes.changed(type(record).__name__, record.id, self._before(record), None)

    def _before(self, record: Any) -> Image:
        """The record as it was before the change that is not flushed yet."""
        was = inspect(record).committed_state
        if not any(value is NO_VALUE for value in was.values()):
            return image_of(record, was)
        kind, key = record_kind(record.__class__), str(record.id)  # something was set that had not been read
        return images_now(self._session, kind, [key])[key]

    def _remove_what_goes_with(self, record: Base) -> None:
        """Take away first what the database would take away with the record, so that it is noted too."""
        from obslog.records.history.going_along import remove_what_goes_with

        remove_what_goes_with(self._session, self.notes, type(record), [str(record.id)])


def _kind_and_key(record: Any) -> tuple[str, str]:
    return type(record).__name__, str(record.id)


def note_added(session: Session, kind: type[Base], keys: Sequence[str]) -> None:
    """Note records that went in past the session."""
    notes_of(session).added(kind.__name__, keys)


def notes_of(session: Session) -> Notes:
    """What was noted in this session so far; in a transaction that is no act it goes nowhere."""
    recorder: ActRecorder | None = session.info.get(_RECORDER)
    return Notes() if recorder is None else recorder.notes


def note_changed(session: Session, kind: str, key: str, before: Image | None, after: Image | None) -> None:
    """Note what becomes of a record that has no row; nothing in a transaction that is no act."""
    recorder: ActRecorder | None = session.info.get(_RECORDER)
    if recorder is not None:
        recorder.notes.changed(kind, key, before, after)


def wait_for_other_acts(session: Session) -> None:
    """Let no other transaction write or undo an act until this one ends; on SQLite none can write anyway.

    Acts wait before they write anything: two that held a row each, and waited for the other's, would wait for ever.
    """
    if session.get_bind().dialect.name == "postgresql":
        session.execute(select(func.pg_advisory_xact_lock(_ACTS_LOCK)))


def author_of(session: Session) -> Author:
    """Who writes the acts of this session: asked once, and only where something is written or taken back."""
    if _ASKED not in session.info:
        find: Callable[[], Author] | None = session.info.get(AUTHOR)
        session.info[_ASKED] = as_the_server_knows(session, NOBODY if find is None else find())
    found: Author = session.info[_ASKED]
    return found
