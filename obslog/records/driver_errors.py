"""What databases complain of, in sentences that say what to do."""

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError
from sqlalchemy.orm.exc import StaleDataError

from obslog.errors import ObslogError


class DatabaseInUse(ObslogError):
    def __init__(self, where: str) -> None:
        super().__init__(
            f"Another program has been writing to {where} for longer than the time-out.",
            "Nothing was changed. Close the other program, or try again in a moment.",
        )


class DiskFull(ObslogError):
    def __init__(self, where: str) -> None:
        super().__init__(
            f"There is no room left for {where}.",
            "Nothing was changed. Free some space on the disk, then try again.",
        )


class NotWritable(ObslogError):
    def __init__(self, where: str) -> None:
        super().__init__(
            f"{where} may not be written.",
            "Check who owns the file and its folder, or choose another with --db.",
        )


class NotAllowed(ObslogError):
    """A right that this login has not got, on a server that has roles."""

    def __init__(self, where: str) -> None:
        super().__init__(
            f"Your login may not do that in {where}.",
            "Nothing was changed. Which login may do what: obslog db roles. An officer of the club can do it for you.",
        )


class DamagedDatabase(ObslogError):
    def __init__(self, where: str) -> None:
        super().__init__(
            f"{where} is damaged.", "Keep the file as it is, and go back to the newest backup copy beside it."
        )


class DatabaseRefused(ObslogError):
    def __init__(self, where: str, why: str) -> None:
        super().__init__(
            f"The database {where} refused: {why}", "Nothing was changed. Check what was typed, and --db."
        )


class NoSuchDatabase(ObslogError):
    def __init__(self, where: str, why: str) -> None:
        super().__init__(
            f"{where} cannot be opened: {why}", "Check the path or address given with --db or OBSLOG_DB."
        )


_BY_SQLITE_NAME: dict[str, type[DatabaseInUse | DiskFull | NotWritable | DamagedDatabase]] = {
    "SQLITE_BUSY": DatabaseInUse,
    "SQLITE_LOCKED": DatabaseInUse,
    "SQLITE_FULL": DiskFull,
    "SQLITE_IOERR_WRITE": DiskFull,
    "SQLITE_IOERR_SHMSIZE": DiskFull,  # the file beside it that readers share has no room
    "SQLITE_READONLY": NotWritable,
    "SQLITE_CORRUPT": DamagedDatabase,
    "SQLITE_NOTADB": DamagedDatabase,
}
# PostgreSQL error codes (its manual, appendix A): class 53 is "insufficient resources", 55P03 "lock not available".
_BY_SQLSTATE: dict[str, type[DatabaseInUse | DiskFull | NotWritable | NotAllowed]] = {
    "53100": DiskFull,
    "55P03": DatabaseInUse,
    "57014": DatabaseInUse,
    "42501": NotAllowed,
    "25006": NotWritable,
}


@contextmanager
def in_sentences(where: str) -> Iterator[None]:
    """Turn a driver's error into one of ours; other errors pass unchanged."""
    try:
        yield
    except (DBAPIError, sqlite3.Error) as error:
        raise explained(error, where) from error
    except StaleDataError as error:
        if "://" not in where:
            raise
        raise NotAllowed(
            where
        ) from error  # a server passes by, without a word, what a login may see but not change
    except UnicodeDecodeError as error:  # what SQLite says of a damaged file may hold a piece of it
        raise DamagedDatabase(where) from error


@contextmanager
def files_in_sentences(where: str) -> Iterator[None]:
    """Turn what the file system complains of into one of our errors."""
    try:
        yield
    except OSError as error:
        if isinstance(error, PermissionError) or error.errno == errno.EROFS:
            raise NotWritable(where) from error
        if error.errno in (errno.ENOSPC, errno.EDQUOT):
            raise DiskFull(where) from error
        raise NoSuchDatabase(where, error.strerror or str(error)) from error


def explained(error: DBAPIError | sqlite3.Error, where: str) -> ObslogError:
    """The sentence for a driver's error, whether or not SQLAlchemy has wrapped it."""
    cause = error.orig if isinstance(error, DBAPIError) else error
    name = getattr(cause, "sqlite_errorname", None) or ""
    state = getattr(cause, "sqlstate", None) or ""
    for known_name, failure in _BY_SQLITE_NAME.items():
        if name == known_name or name.startswith(known_name + "_"):
            return failure(where)
    if state in _BY_SQLSTATE:
        return _BY_SQLSTATE[state](where)
    why = str(cause).strip().splitlines()[0] if str(cause).strip() else "no reason given"
    lost = isinstance(error, DBAPIError) and error.connection_invalidated
    if name.startswith("SQLITE_CANTOPEN") or lost or (not name and not state):
        return NoSuchDatabase(where, why)
    return DatabaseRefused(where, why)
