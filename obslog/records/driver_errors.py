"""What databases complain of, in sentences that say what to do."""

import errno
import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy.exc import DataError, DBAPIError
from sqlalchemy.orm.exc import StaleDataError

from obslog.english import counted
from obslog.errors import ObslogError
from obslog.records.files.room import has_room


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


class DiskRefused(ObslogError):
    """A disk that has room and yet does not take what is written, or does not give what is read."""

    def __init__(self, where: str) -> None:
        super().__init__(
            f"The disk refused to read or write {where}.",
            "Nothing was changed. It may be failing, or your share of it is used up. Copy the database to another disk "
            "first: obslog db backup --into FOLDER",
        )


class BesideRefused(ObslogError):
    """A file that is there, beside which SQLite cannot make or read the small ones that it needs."""

    def __init__(self, where: str, why: str) -> None:
        super().__init__(
            f"{where} is there, but cannot be opened: {why}.",
            "Nothing was changed. Two small files come to lie beside it in use (-wal, -shm): look at the rights of its "
            "folder and the room on its disk. Where both are right, the disk may be failing.",
        )


class NotWritable(ObslogError):
    """What may not be written; with `or_open` another program may have it open, which Windows answers alike."""

    def __init__(self, where: str, *, or_open: bool = False) -> None:
        check = "Check who owns the file and its folder, or choose another with --db."
        close = "Close what may have it open, an open obslog prompt too, then try again. Where nothing has: "
        super().__init__(
            f"{where} may not be written.", f"{close}{check[0].lower()}{check[1:]}" if or_open else check
        )


class NotReadable(ObslogError):
    def __init__(self, where: str) -> None:
        super().__init__(
            f"{where} may not be read.",
            "Whoever owns the file and its folder has to let you in, or choose another with --db.",
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
            f"{where} is damaged.",
            "Keep the file as it is, and go back to the newest copy: obslog db restore",
        )


class CutShort(ObslogError):
    """A file of which a part is missing; what to do then is another thing for a copy."""

    hint_then = "Keep the file as it is, and go back to the newest copy: obslog db restore"

    def __init__(self, where: str, missing: int) -> None:
        are = "is" if missing == 1 else "are"
        super().__init__(
            f"{where} is cut short: {counted(missing, 'byte')} {are} missing at its end.",
            self.hint_then,
        )


class TryAgain(ObslogError):
    """What was begun has left nothing behind, and may go well the next time."""


class ConnectionLost(TryAgain):
    def __init__(self, where: str) -> None:
        super().__init__(
            f"The connection to {where} was lost.",
            "What was just typed was not recorded. Try again in a moment.",
        )


class EndUnknown(ObslogError):
    def __init__(self, where: str) -> None:
        super().__init__(
            f"The connection to {where} was lost at the very end: what was typed may be on record, or not.",
            "Look before you type it again: obslog history",
        )


class InOneAnothersWay(TryAgain):
    def __init__(self, where: str) -> None:
        super().__init__(
            f"Two programs came into each other's way in {where}.",
            "What was just typed was not recorded. Try again in a moment.",
        )


class UnreadableValue(ObslogError):
    def __init__(self, where: str, why: str) -> None:
        super().__init__(
            f"A value in {where} cannot be read: {why}.",
            "Another program wrote it. Which it is, and what to do: obslog db check",
        )


class DatabaseRefused(ObslogError):
    def __init__(self, where: str, why: str) -> None:
        super().__init__(
            f"The database {where} refused: {why}", "Nothing was changed. Check what was typed, and --db."
        )


class NoSuchDatabase(ObslogError):
    def __init__(self, where: str, why: str) -> None:
        self.why = why
        super().__init__(
            f"{where} cannot be opened: {why}", "Check the path or address given with --db or OBSLOG_DB."
        )


class NotLetIn(NoSuchDatabase):
    """What a server answers to who knocks; `hint` is what lets them in."""

    def __init__(self, where: str, why: str, hint: str) -> None:
        super().__init__(where, why)
        self.hint = hint


# Source: PostgreSQL 15, libpq/fe-auth.c, fe-connect.c, auth.c and postinit.c: no code comes with these words.
_LETS_IN = {
    "no password supplied": "Put this login's password into PostgreSQL's own file, .pgpass: see docs/server.md.",
    "password authentication failed": "Look at the login in the address, and at its password in PostgreSQL's own file, "
    ".pgpass. A new login has none until one is set: docs/server.md says how.",
    "no pg_hba.conf entry": "Let the server's administrator add a line to pg_hba.conf for this database and network: "
    "docs/server.md has one.",
    "does not exist": "Look at the name in the address. If it is right, let the server's administrator make it: "
    "createdb --owner=LOGIN NAME",
    "Connection refused": "No server listens there: look at the address, and whether the server is running.",
    "resolve host": "No machine of that name is known here: look at the address, and at the network.",
}

# ERROR_SHARING_VIOLATION and ERROR_LOCK_VIOLATION of Windows, where nobody may replace what another has open.
_OPEN_ELSEWHERE = (32, 33)
# ERROR_ACCESS_DENIED, which is also its answer where a file is to be put in the place of one that is open.
_DENIED = 5
# By their beginnings, the first that fits.
_BY_SQLITE_NAME: dict[str, type[DatabaseInUse | DiskFull | DiskRefused | NotWritable | DamagedDatabase]] = {
    "SQLITE_BUSY": DatabaseInUse,
    "SQLITE_LOCKED": DatabaseInUse,
    "SQLITE_FULL": DiskFull,
    "SQLITE_IOERR_SHORT_READ": DamagedDatabase,
    "SQLITE_IOERR": DiskRefused,
    "SQLITE_READONLY": NotWritable,
    "SQLITE_CORRUPT": DamagedDatabase,
    "SQLITE_NOTADB": DamagedDatabase,
}
# Of the file beside it that readers share, SQLite says the same where there is no room and where the disk fails.
_ROOM_OR_DISK = ("SQLITE_IOERR_SHMSIZE", "SQLITE_IOERR_SHMOPEN")
_Plain = DatabaseInUse | DiskFull | NotWritable | NotAllowed | ConnectionLost | InOneAnothersWay
# PostgreSQL error codes (its manual, appendix A): class 53 is "insufficient resources", 55P03 "lock not available",
# class 40 "transaction rollback", 57P01 to 57P03 a server that is being shut down or started.
_BY_SQLSTATE: dict[str, type[_Plain]] = {
    "40001": InOneAnothersWay,
    "40P01": InOneAnothersWay,
    "57P01": ConnectionLost,
    "57P02": ConnectionLost,
    "57P03": ConnectionLost,
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
        # A server passes by, without a word, what a login may see but not change.
        raise NotAllowed(where) from error
    except UnicodeDecodeError as error:  # what SQLite says of a damaged file may hold a piece of it
        raise DamagedDatabase(where) from error


@contextmanager
def files_in_sentences(where: str) -> Iterator[None]:
    """Turn what the file system complains of into one of our errors."""
    try:
        yield
    except OSError as error:
        if getattr(error, "winerror", None) in _OPEN_ELSEWHERE:
            raise DatabaseInUse(where) from error
        if isinstance(error, PermissionError) or error.errno == errno.EROFS:
            raise NotWritable(where, or_open=getattr(error, "winerror", None) == _DENIED) from error
        if error.errno in (errno.ENOSPC, errno.EDQUOT):
            raise DiskFull(where) from error
        if error.errno in (errno.EIO, errno.ENXIO, errno.EFBIG):
            raise DiskRefused(where) from error
        raise NoSuchDatabase(where, error.strerror or str(error)) from error


def full_or_failing(where: str) -> DiskFull | DiskRefused:
    """What is wrong with a disk that takes nothing more, where the error does not tell: asked of the disk itself."""
    return DiskRefused(where) if has_room(Path(where)) else DiskFull(where)


def explained(error: DBAPIError | sqlite3.Error, where: str) -> ObslogError:
    """The sentence for a driver's error, whether or not SQLAlchemy has wrapped it."""
    cause = error.orig if isinstance(error, DBAPIError) else error
    name = getattr(cause, "sqlite_errorname", None) or ""
    state = getattr(cause, "sqlstate", None) or ""
    if name in _ROOM_OR_DISK:
        return full_or_failing(where)
    for known_name, failure in _BY_SQLITE_NAME.items():
        if name == known_name or name.startswith(known_name + "_"):
            return failure(where)
    if state in _BY_SQLSTATE:
        return _BY_SQLSTATE[state](where)
    why = str(cause).strip().splitlines()[0] if str(cause).strip() else "no reason given"
    if isinstance(error, DBAPIError) and error.connection_invalidated:
        return ConnectionLost(where)
    if isinstance(error, DataError) and not state:  # the driver itself, of what the server has sent
        return UnreadableValue(where, why)
    if name.startswith("SQLITE_CANTOPEN") and Path(where).is_file():
        return BesideRefused(where, why) if os.access(where, os.R_OK) else NotReadable(where)
    if not name and not state:
        hint = next((hint for said, hint in _LETS_IN.items() if said in str(cause)), None)
        return NoSuchDatabase(where, why) if hint is None else NotLetIn(where, why, hint)
    if name.startswith("SQLITE_CANTOPEN"):
        return NoSuchDatabase(where, why)
    return DatabaseRefused(where, why)
