"""Taking back the newest act, and doing again what was taken back."""

import json
from datetime import datetime
from typing import Any

from sqlalchemy import insert, inspect, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Mapper, Session

from obslog.errors import ObslogError
from obslog.records.history.images import read_image, record_kinds
from obslog.records.history.recorder import undone_acts, wait_for_other_acts
from obslog.records.tables.logbook import Act, Change
from obslog.records.tables.search_text import SEARCHED, search_text


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
    act = session.scalar(undone_acts(session).order_by(Act.id).limit(1))
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


def _take_back(session: Session, change: Change, sentence: str) -> None:
    kind = record_kinds()[change.record_kind]
    record = session.get(kind, change.record_id)
    if change.before is None:
        if record is not None:
            session.delete(record)
        return
    values = read_image(inspect(kind), json.loads(change.before))
    if record is None:
        if change.after is not None:
            raise CannotUndo(sentence, "the record is gone")
        _put_back(session, inspect(kind), values)
        return
    for name, value in values.items():
        setattr(record, name, value)


def _do_again(session: Session, change: Change, sentence: str) -> None:
    kind = record_kinds()[change.record_kind]
    record = session.get(kind, change.record_id)
    if (record is None) != (change.before is None):
        raise CannotRedo(sentence, "the record is gone" if record is None else "the record is there already")
    if change.after is None:
        session.delete(record)
        return
    values = read_image(inspect(kind), json.loads(change.after))
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
