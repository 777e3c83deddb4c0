"""A club's database opened from a program or a notebook: `from obslog import open_club`."""

import os
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any

from obslog.errors import ObslogError

if TYPE_CHECKING:
    from types import TracebackType

    from obslog.library.records import Arrival, Fit, Mount, Night, Trend
    from obslog.library.table import Table
    from obslog.records.opening import Database


def open_club(target: "str | os.PathLike[str] | None" = None, *, read_only: bool = True) -> "Club":
    """Open a club's database: a path or a URL; without one that of OBSLOG_DB, or else the usual one.

    Nothing is changed, made or upgraded. With `read_only=False` the file is upgraded where it is older, after a backup
    copy, and what is computed is kept in it for the next time, as the program does; nobody's records change then
    either. Use it in a `with`, or call `close`. Raises ObslogError, whose `hint` says what to do.
    """
    from obslog.records.looking.read_only import open_to_look
    from obslog.settings import database_target

    named = database_target(None if target is None else os.fspath(target), os.environ)
    with _hints():
        return Club(open_to_look(named) if read_only else _open_to_keep(named))


class Club:
    """The records of a club, asked by methods. Each answer is of the moment at which it is asked for."""

    def __init__(self, database: "Database") -> None:
        self._database = database

    def nights(self, *, site: str | None = None, most: int | None = None) -> "Table[Night]":
        """The nights, the newest first, as `night list` has them."""
        from obslog.club.night.night_pages import list_nights
        from obslog.library.records import Night
        from obslog.library.table import Table

        with _hints():
            found = list_nights(self._database, site=site, most=most)
        return Table(Night, _columns_of(found, Night))

    def mounts(self, *, with_retired: bool = False) -> "Table[Mount]":
        """The mounts in order of their names, as `mount list` has them."""
        from obslog.club.register.named_records import listed
        from obslog.library.records import Mount
        from obslog.library.table import Table

        with _hints():
            found = listed(self._database, "mount", with_retired=with_retired)
        return Table(Mount, {name: [_plain(one[name]) for one in found] for name in _names(Mount)})

    def arrivals(
        self,
        *,
        mount: str | None = None,
        site: str | None = None,
        first: date | str | None = None,
        last: date | str | None = None,
    ) -> "Table[Arrival]":
        """The arrivals in order of time, as `export arrivals` has them, of a mount, a site, or nights from and to."""
        from obslog.club.sheets.arrivals_export import SheetChoice, sheet_rows
        from obslog.library.records import Arrival
        from obslog.library.table import Table

        names = _names(Arrival)
        with _hints():
            choice = SheetChoice(mount, site, _day(first), _day(last))
            with sheet_rows(self._database, choice) as found:
                rows = [[row[name] for name in names] for row in found]
        columns: dict[str, list[Any]] = {
            name: [row[place] for row in rows] for place, name in enumerate(names)
        }
        columns["utc"] = [datetime.fromisoformat(value) for value in columns["utc"]]
        for name in ("role", "pier_side", "landing"):
            columns[name] = [_plain(value) for value in columns[name]]
        return Table(Arrival, columns)

    def fit(self, mount: str, tube: str | None = None) -> "Fit":
        """The joint fit of a mount's nights, as `pointing fit` has it."""
        from obslog.club.performance.mount_fit import fit_mount
        from obslog.library.answers import fit_of

        with _hints():
            return fit_of(fit_mount(self._database, mount, tube))

    def trend(self, mount: str) -> "Trend":
        """A mount's landing errors over the months, as `pointing trend` has them."""
        from obslog.club.over_time.landing_history import mount_history
        from obslog.library.answers import trend_of

        with _hints():
            return trend_of(mount_history(self._database, mount))

    def close(self) -> None:
        """Let go of the file, or of the server."""
        self._database.close()

    def __enter__(self) -> "Club":
        return self

    def __exit__(
        self,
        kind: "type[BaseException] | None",
        error: BaseException | None,
        trace: "TracebackType | None",
    ) -> None:
        self.close()

    def __repr__(self) -> str:
        return f"<Club in {self._database.where}{', read only' if self._database.only_read else ''}>"


def _open_to_keep(target: str) -> "Database":
    from obslog.records.looking.read_only import open_to_look
    from obslog.records.opening import open_database

    open_to_look(target, older_too=True).close()  # an empty database is not made where there is none
    shared = bool(os.environ.get("OBSLOG_SHARED", "").strip())
    return open_database(target, datetime.now(UTC), warnings.warn, shared=shared)


@contextmanager
def _hints() -> Iterator[None]:
    """Let a traceback end with what to do."""
    try:
        yield
    except ObslogError as error:
        error.add_note(error.hint)
        raise


def _day(given: date | str | None) -> date | None:
    from obslog.times import read_date

    return read_date(given) if isinstance(given, str) else given


def _columns_of(records: list[Any], kind: type[Any]) -> dict[str, list[Any]]:
    return {name: [getattr(record, name) for record in records] for name in _names(kind)}


def _names(kind: type[Any]) -> list[str]:
    from dataclasses import fields

    return [field.name for field in fields(kind)]


def _plain(value: Any) -> Any:
    """A word of a vocabulary as mere text."""
    return str(value) if isinstance(value, str) else value
