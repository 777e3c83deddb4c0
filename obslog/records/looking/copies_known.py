"""Which of the databases that lie beside a club's own are copies of it: those with acts of the same club."""

import sqlite3
from collections.abc import Sequence
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from obslog.records.care.copy_looked_at import reading
from obslog.records.files.copies import copies_beside


@dataclass(frozen=True, slots=True)
class DatabasesBeside:
    """Copies, by name, and those databases of which nobody knows whether they are; other clubs' are neither."""

    copies: Sequence[Path]
    not_known: Sequence[Path]


def databases_beside(database: Path) -> DatabasesBeside:
    """Read what lies in the folder of a database and in that of its copies. Nothing is changed."""
    copies, not_known = [], []
    for path in copies_beside(database):
        same = _same_club(database, path)
        if same is None:
            not_known.append(path)
        elif same:
            copies.append(path)
    return DatabasesBeside(copies, not_known)


def _same_club(database: Path, other: Path) -> bool | None:
    """Whether one of the two holds the first act of the other: what came in by a merge may be older than either's own.

    None where there is nothing to tell by, or the file cannot be read.
    """
    try:
        with closing(reading(database)) as here, closing(reading(other)) as there:
            if not _tables(there):
                return False
            ours, theirs = _first_act(here), _first_act(there)
            if ours is None or theirs is None:
                return None
            return _has(there, ours) or _has(here, theirs)
    except (OSError, sqlite3.Error):
        return None


def _tables(file: sqlite3.Connection) -> bool:
    """Whether its tables are obslog's; of another program's file nobody asks whether it is a copy."""
    query = "SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = 'alembic_version'"
    return file.execute(query).fetchone() is not None


def _first_act(file: sqlite3.Connection) -> object:
    return file.execute("SELECT min(id) FROM acts").fetchone()[0]


def _has(file: sqlite3.Connection, act: object) -> bool:
    return file.execute("SELECT 1 FROM acts WHERE id = ?", (act,)).fetchone() is not None
