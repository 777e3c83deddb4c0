"""A database's file held by one program alone, so that another file can be put in its place."""

import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from tempfile import TemporaryDirectory

from obslog.errors import ObslogError
from obslog.files import atomic_file
from obslog.records.driver_errors import NotWritable, in_sentences

LOGS = ("-wal", "-journal")
_WAIT_SECONDS = 1.0


class OpenElsewhere(ObslogError):
    def __init__(self, path: Path, programs: list[str]) -> None:
        named = f": {', '.join(programs)}" if programs else ""
        super().__init__(
            f"Another program has {path} open{named}.",
            "Nothing was changed. Close it, an open obslog prompt too, then try again.",
        )


@contextmanager
def held_alone(path: Path) -> Iterator[Callable[[], None]]:
    """Nobody else has the file open, or opens it to read or write, until this ends; what waited in its log is in it.

    Gives what is to be called right before another file takes its place: on Windows that lets the file go, for there
    nobody, not even who holds it, may replace a file that is open.

    The file then lies there whole, in rollback mode, with nothing beside it. One that SQLite cannot read is looked for
    among the files that programs have open, where the system tells; what lies beside it stays.
    Raises OpenElsewhere, NotWritable and what the disk refuses.
    """
    if not path.exists():
        yield lambda: None
        return
    if programs := programs_with(path):
        raise OpenElsewhere(path, programs)
    with closing(sqlite3.connect(path, timeout=_WAIT_SECONDS, isolation_level=None)) as file:
        is_held = _hold(file, path)
        yield lambda: _let_go(file, path, logs_stay=not is_held)


def _let_go(file: sqlite3.Connection, path: Path, *, logs_stay: bool) -> None:
    """Close the file on Windows; with `logs_stay` so that what SQLite would remove with it is there still."""
    if not atomic_file.ON_WINDOWS:
        return
    if not logs_stay:
        file.close()
        return
    logs = [log for ending in LOGS if (log := path.with_name(f"{path.name}{ending}")).exists()]
    with TemporaryDirectory(prefix=".new-", dir=path.absolute().parent, ignore_cleanup_errors=True) as folder:
        copies = [(log, Path(shutil.copy2(log, folder))) for log in logs]
        file.close()
        for log, copy in copies:
            if not log.exists():
                atomic_file.moved(copy, log, Path.replace)


def _hold(file: sqlite3.Connection, path: Path) -> bool:
    """Leave write-ahead mode, which only the last program can, and lock the file; False where SQLite cannot read it."""
    if not os.access(path, os.W_OK):  # SQLite calls that an error of the disk
        raise NotWritable(str(path))
    try:
        # All of its rows, for an error of the disk comes after the first.
        file.execute("PRAGMA journal_mode=DELETE").fetchall()
        file.execute("BEGIN EXCLUSIVE").close()
        (mode,) = file.execute("PRAGMA journal_mode").fetchone()
    except sqlite3.DatabaseError as error:
        name = error.sqlite_errorname or ""
        if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
            raise OpenElsewhere(path, []) from error
        if not name.startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB", "SQLITE_IOERR_SHORT_READ")):
            with in_sentences(str(path)):
                raise
        return False
    except UnicodeDecodeError:  # what SQLite says of a damaged file may hold a piece of it
        return False
    if mode != "delete":  # another program came in between the two
        raise OpenElsewhere(path, programs_with(path))
    return True


def programs_with(path: Path) -> list[str]:
    """The other programs that have the file, or one beside it, open: name and number, where the system tells."""
    files = {str(path.resolve()), *(f"{path.resolve()}{ending}" for ending in (*LOGS, "-shm"))}
    found = []
    for process in sorted(Path("/proc").glob("[0-9]*")):
        if int(process.name) != os.getpid() and files & set(_open_files(process)):
            found.append(f"{_name_of(process)} (process {process.name})")
    return found


def _open_files(process: Path) -> Iterator[str]:
    with suppress(OSError):  # another person's process, or one that has ended
        for handle in (process / "fd").iterdir():
            with suppress(OSError):
                yield str(handle.readlink())


def _name_of(process: Path) -> str:
    with suppress(OSError):
        return (process / "comm").read_text(encoding="utf-8", errors="replace").strip()
    return "a program"
