"""Taking back the last act."""

from datetime import datetime

from obslog.records.opening import Database
from obslog.records.undo_log import undo_last


def undo(database: Database, now: datetime) -> str:
    """Take back the newest act that is not taken back yet; gives its sentence. Raises NothingToUndo, CannotUndo."""
    with database.write(now) as session:
        return undo_last(session, now)
