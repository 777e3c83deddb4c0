"""A club's database opened from a program or a notebook: `from obslog import open_club`."""

import os
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

from obslog.errors import ObslogError

if TYPE_CHECKING:
    from types import TracebackType

    from obslog.library.logbook_records import Arrival, Mount, Night, Observation, Snag, WholeNight
    from obslog.library.pointing_records import Fit, Trend
    from obslog.library.storeroom_records import Loan, Service, StoreItem
    from obslog.library.table import Table
    from obslog.records.database import Database


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
        from obslog.library.answers import table_of
        from obslog.library.logbook_records import Night

        with _hints():
            return table_of(Night, list_nights(self._database, site=site, most=most))

    def night(self, night: date | str | None = None, *, site: str | None = None) -> "WholeNight":
        """A night with all that was recorded in it; the open one or the newest, unless another is named."""
        from obslog.club.night.open_night import NightChoice
        from obslog.club.pages.night_out import night_out
        from obslog.library.answers import night_of

        with _hints():
            return night_of(night_out(self._database, NightChoice(site, _day(night))))

    def mounts(self, *, with_retired: bool = False) -> "Table[Mount]":
        """The mounts in order of their names, as `mount list` has them."""
        from obslog.club.register.named_records import listed
        from obslog.library.answers import rows_table
        from obslog.library.logbook_records import Mount

        with _hints():
            return rows_table(Mount, listed(self._database, "mount", with_retired=with_retired))

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
        from obslog.library.answers import rows_table
        from obslog.library.logbook_records import Arrival

        with _hints():
            choice = SheetChoice(mount, site, _day(first), _day(last))
            with sheet_rows(self._database, choice) as found:
                return rows_table(Arrival, found)

    def observations(
        self,
        *,
        observer: str | None = None,
        site: str | None = None,
        first: date | str | None = None,
        last: date | str | None = None,
    ) -> "Table[Observation]":
        """What was seen, in order of time, as `export observations` has it."""
        from obslog.club.bring_in.give_out import chosen_observations
        from obslog.club.bring_in.observations_out import ObservationChoice
        from obslog.library.answers import rows_table
        from obslog.library.logbook_records import Observation

        with _hints():
            choice = ObservationChoice(observer=observer, site=site, first=_day(first), last=_day(last))
            return rows_table(Observation, chosen_observations(self._database, choice))

    def snags(
        self,
        *,
        mount: str | None = None,
        member: str | None = None,
        site: str | None = None,
        with_fixed: bool = False,
    ) -> "Table[Snag]":
        """The snags, the newest first, as `snag list` has them; those that are mended only where asked."""
        from obslog.club.night.snags import list_snags
        from obslog.library.answers import table_of
        from obslog.library.logbook_records import Snag

        with _hints():
            found = list_snags(self._database, mount=mount, member=member, site=site, with_fixed=with_fixed)
            return table_of(Snag, found)

    def services(self, name: str | None = None, *, kind: str = "mount") -> "Table[Service]":
        """The services, the newest first, as `service list` has them, of all or of one item of a kind."""
        from obslog.club.upkeep.services import list_services
        from obslog.library.answers import table_of
        from obslog.library.storeroom_records import Service

        with _hints():
            return table_of(Service, list_services(self._database, name=name, kind=kind))

    def loans(
        self, *, with_back: bool = False, officer: bool = False, today: date | None = None
    ) -> "Table[Loan]":
        """The loans that are out, the first due first, as `loan list` has them; borrowers named only to the officer.

        What is left until they are due is counted from `today`, or else from the day that it is.
        """
        from obslog.club.register.club_day import club_day
        from obslog.club.storeroom.loan_pages import line_without_names, list_loans
        from obslog.library.answers import table_of
        from obslog.library.storeroom_records import Loan

        with _hints():
            found = list_loans(
                self._database, today or club_day(self._database, datetime.now(UTC)), with_back=with_back
            )
            return table_of(Loan, found if officer else map(line_without_names, found))

    def store(
        self, *, kind: str | None = None, with_retired: bool = False, officer: bool = False
    ) -> "Table[StoreItem]":
        """Every kit and item, and where each is, as `store list` has them; borrowers named only to the officer."""
        from obslog.club.storeroom.store_list import store_list
        from obslog.library.answers import table_of
        from obslog.library.storeroom_records import StoreItem

        with _hints():
            found = store_list(self._database, kind=kind, with_retired=with_retired, with_names=officer)
            return table_of(StoreItem, found)

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
    from obslog.grammar.typed_times import read_date

    return read_date(given) if isinstance(given, str) else given
