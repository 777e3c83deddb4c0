"""Files that only their owner may read: databases, their copies, and whatever holds how people are reached.

On systems without such rights, and on file systems that keep none, nothing is changed and nothing is said.
"""

import os
import stat
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

FILE, FOLDER = 0o600, 0o700
_OTHERS = stat.S_IRWXG | stat.S_IRWXO
_HEADER = b"SQLite format 3\x00"


def make_private(path: Path, mode: int = FILE) -> bool:
    """Take from everybody else the right to read and write; True where they had any, and have none now.

    The owner gets none by it: a file that is write-protected stays so.
    """
    if os.name != "posix":
        return False
    with suppress(OSError):  # another person's file, or a disk that is only read: then it stays as it is
        if path.stat().st_mode & _OTHERS:
            path.chmod(mode & path.stat().st_mode)
            return not path.stat().st_mode & _OTHERS
    return False


def open_to_others(path: Path) -> bool:
    """Whether a file is there that others on this machine can read or write."""
    if os.name != "posix":
        return False
    with suppress(OSError):
        return bool(path.stat().st_mode & _OTHERS)
    return False


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


def copies_beside(database: Path) -> Iterator[Path]:
    """The other SQLite files in the folder of a database, by name: copies before upgrades, and of `db backup`."""
    with suppress(OSError):
        for path in sorted(database.resolve().parent.iterdir()):
            if path.name != database.resolve().name and path.is_file() and _is_sqlite(path):
                yield path


def _beside(database: Path) -> list[Path]:
    return [database.with_name(f"{database.name}{ending}") for ending in ("-wal", "-shm")]


def _is_sqlite(path: Path) -> bool:
    try:
        with path.open("rb") as file:
            return file.read(len(_HEADER)) == _HEADER
    except OSError:
        return False
