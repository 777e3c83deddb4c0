"""Taking back an act, and taking that back."""

from datetime import datetime

from obslog.records.database import Database
from obslog.records.undoing.undoing import redo_next, undo_last, undo_named


def undo(database: Database, now: datetime, reference: str | None = None) -> str:
    """Take back the act of that reference, or the newest that is not taken back yet; gives its sentence.

    Raises NothingToUndo, CannotUndo; NoSuchAct, UndoneAlready of a reference.
    """
    with database.write(now) as session:
        return undo_last(session, now) if reference is None else undo_named(session, reference, now)


def redo(database: Database, now: datetime) -> str:
    """Do again the act that was undone last; gives its sentence. Raises NothingToRedo, CannotRedo."""
    with database.write(now) as session:
        return redo_next(session, now)
