"""Taking back the last act, and taking that back."""

from datetime import datetime

from obslog.records.history.undoing import redo_next, undo_last
from obslog.records.opening import Database


def undo(database: Database, now: datetime) -> str:
    """Take back the newest act that is not taken back yet; gives its sentence. Raises NothingToUndo, CannotUndo."""
    with database.write(now) as session:
        return undo_last(session, now)


def redo(database: Database, now: datetime) -> str:
    """Do again the act that was undone last; gives its sentence. Raises NothingToRedo, CannotRedo."""
    with database.write(now) as session:
        return redo_next(session, now)
