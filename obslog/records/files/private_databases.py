"""A database and its copies are made private, and what others could read before is told."""

from pathlib import Path

from obslog.files.private_files import FOLDER, make_private
from obslog.records.files.copies import copies_beside


def tighten(database: Path, *, own_folder: bool = False) -> list[Path]:
    """Make a database, what lies beside it and its copies private; gives what others could read before.

    The copies are looked for only where the database itself was open to others: they are made private from the start
    now. A folder is tightened only where it is the program's own.
    """
    database = database.resolve()  # what a link leads to, for SQLite keeps its other files there
    tightened = [path for path in (database, *_beside(database)) if make_private(path)]
    if tightened:
        tightened += [copy for copy in copies_beside(database) if make_private(copy)]
    if own_folder and make_private(database.parent, FOLDER):
        tightened.append(database.parent)
    return tightened


def _beside(database: Path) -> list[Path]:
    return [database.with_name(f"{database.name}{ending}") for ending in ("-wal", "-shm")]
