"""Taking back any act, and doing again what was taken back: each an act of its own, and the old one stays on record."""

from collections.abc import Callable
from datetime import datetime
from functools import partial
from uuid import UUID

from sqlalchemy import select, update
from sqlalchemy.orm import Session, aliased

from obslog.errors import ObslogError
from obslog.records.history.acts import act_named, done_here, not_derived, that_hold
from obslog.records.history.author import Author
from obslog.records.history.notes import Notes
from obslog.records.history.reading import entries_of
from obslog.records.history.recorder import author_of, wait_for_other_acts, write_act
from obslog.records.history.steps import Added, Removed, Step, steps_of
from obslog.records.nameless import MEMBER, has_left, made_nameless
from obslog.records.tables.column_types import key_of
from obslog.records.tables.keys import is_derived
from obslog.records.tables.logbook import LONGEST_SENTENCE, Act
from obslog.records.undoing.dependents import Later
from obslog.records.undoing.steps_back import take_back
from obslog.records.undoing.taking_back import Refuse
from obslog.records.undoing.undo_errors import (
    CannotRedo,
    CannotUndo,
    NothingOfHereToUndo,
    NothingToRedo,
    NothingToUndo,
    NotOneToUndo,
    UndoneAlready,
)


def undo_last(session: Session, now: datetime) -> str:
    """Take back the newest act of this machine that is not taken back yet; gives its sentence.

    What came from other machines, by a merge or on a server, is theirs to take back, or is named by its reference.
    Raises NothingToUndo, CannotUndo where something newer hangs on what it added, or NotOneToUndo.
    """
    wait_for_other_acts(session)
    newest = select(Act).where(*that_hold(), not_derived()).order_by(Act.id.desc()).limit(1)
    author = author_of(session)
    act = session.scalar(newest.where(done_here(author)))
    if act is None:
        raise NothingToUndo if session.scalar(newest) is None else NothingOfHereToUndo(author.with_login)
    return _undo(session, act, now, last=True)


def undo_named(session: Session, reference: str, now: datetime) -> str:
    """Take back the act of that reference, where nothing later depends on it; gives its sentence.

    One that itself took an act back is taken back by doing that again.
    Raises NoSuchAct, UndoneAlready, CannotUndo, NotOneToUndo.
    """
    wait_for_other_acts(session)
    act = act_named(session, reference)
    if act.undone_utc is not None:
        raise UndoneAlready(act.sentence)
    undone = session.get(Act, act.undoes_id) if act.undoes_id else None
    if undone is None:
        return _undo(session, act, now, last=False)
    if undone.undoes_id is not None:  # it did an act again, so that this act is to be taken back
        return _undo(session, session.get_one(Act, undone.undoes_id), now, last=False)
    return _redo(session, act, undone, now)


def redo_next(session: Session, now: datetime) -> str:
    """Do the act again whose undoing was the last; gives its sentence.

    Both on this machine. Raises NothingToRedo where nothing was undone, or something newer is on record; CannotRedo.
    """
    wait_for_other_acts(session)
    author = author_of(session)
    undone = aliased(Act)
    undoing = session.scalar(
        select(Act)
        .join(undone, Act.undoes_id == undone.id)
        .where(undone.undoes_id.is_(None), Act.undone_utc.is_(None), done_here(author))
        .order_by(Act.id.desc())
        .limit(1)
    )
    if undoing is None or undoing.undoes_id is None or _something_newer(session, undoing.id, author):
        raise NothingToRedo
    return _redo(session, undoing, session.get_one(Act, undoing.undoes_id), now)


def _undo(session: Session, act: Act, now: datetime, *, last: bool) -> str:
    sentence = act.sentence  # read now: after a refusal by the database nothing can be read any more
    steps = steps_of(session, act.id)
    if not steps or is_derived(act.id) or not all(_kept(session, step) for step in steps):
        raise NotOneToUndo(sentence, last=last)
    notes = take_back(session, act, steps, _refusing(partial(CannotUndo, sentence, last=last)))
    _write(session, notes, f"undo: {sentence}", now, act)
    return sentence


def _redo(session: Session, undoing: Act, undone: Act, now: datetime) -> str:
    sentence = undone.sentence
    steps = steps_of(session, undoing.id)
    notes = take_back(session, undoing, steps, _refusing(partial(CannotRedo, sentence)))
    _write(session, notes, f"redo: {sentence}", now, undoing)
    session.execute(update(Act).where(Act.id == undone.id).values(undone_utc=None))
    return sentence


def _refusing(cannot: Callable[..., ObslogError]) -> Refuse:
    """The refusal that also says which later act to take back first, where there is one that can be."""

    def refuse(why: str, later: Later | None) -> ObslogError:
        if later is None or is_derived(later.act_id):  # what was there before history was kept stays
            return cannot(why)
        return cannot(f"{why}: {later.sentence}", f"Take that back first: obslog undo {later.reference}")

    return refuse


def _write(session: Session, notes: Notes, sentence: str, now: datetime, undone: Act) -> None:
    act_id = write_act(session, sentence[:LONGEST_SENTENCE], now, undoes_id=undone.id)
    notes.write(session, act_id)
    session.execute(update(Act).where(Act.id == undone.id).values(undone_utc=now))


def _something_newer(session: Session, undoing_id: UUID, author: Author) -> bool:
    """Whether an act of a person at this machine is newer than an undoing."""
    query = select(Act.id).where(
        Act.undoes_id.is_(None), Act.id > undoing_id, not_derived(), done_here(author)
    )
    return session.scalar(query.limit(1)) is not None


def _kept(session: Session, step: Step) -> bool:
    """Whether it is kept what was there before the step.

    It is not of a person who left, nor of one whose name went with that of another, with whom they had been made one.
    """
    if isinstance(step, Added) or not step.whole:
        return isinstance(step, Added)
    if not isinstance(step, Removed) or step.kind.name != MEMBER:
        return True
    place = step.names.index("name")
    return not any(
        has_left(str(row[place])) and not _has_left_by_the_log(session, key)
        for key, row in zip(step.keys, step.rows, strict=True)
    )


def _has_left_by_the_log(session: Session, key: str) -> bool:
    return any(made_nameless(entry.before) for entry in entries_of(session, MEMBER, key_of(key)))
