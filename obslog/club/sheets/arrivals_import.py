"""Taking in an arrivals sheet: names, nights, set-ups and arrivals, whole or not at all, and never twice."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, cast
from uuid import UUID

from sqlalchemy import ColumnElement, Table, select
from sqlalchemy.orm import Session

from obslog.club.sheets.sheet_names import SheetNames, look_up_names
from obslog.club.sheets.sheet_times import SheetClock
from obslog.english import enumerated
from obslog.exchange.arrivals_rows import COMPARED_COLUMNS, Fault, SheetRefused, SheetRow
from obslog.records.bulk_insert import insert_rows
from obslog.records.database import Database
from obslog.records.history.recorder import note_added
from obslog.records.tables.base import Base
from obslog.records.tables.column_types import stored_utc
from obslog.records.tables.keys import new_key, new_keys_as_text
from obslog.records.tables.logbook_tables import Arrival, Night, Setup
from obslog.times import YEAR

CHUNK = 5000
SETUP_COLUMNS = ("id", "night_id", "mount_id", "ordinal", "tube_id", "member_id", "open")
ARRIVAL_COLUMNS = ("id", "setup_id", "at_utc", "role", "target", "member_id", *COMPARED_COLUMNS, "sheet_line")
Tick = Callable[[int], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportResult:
    """What came of importing a sheet."""

    rows: int
    added: int
    already_there: int
    nights_added: int
    setups_added: int
    names_made: list[str]
    still_to_tell: list[str]


@dataclass(slots=True, kw_only=True)
class SetupDraft:
    """A set-up of the sheet: on record already, or to be made. Keys are text, as they go in by the thousand."""

    id: str
    night_id: str
    mount_id: str
    ordinal: int
    night_of: date
    tube_id: str | None
    member_id: str | None = None


def take_in(
    database: Database,
    sheet: str,
    rows: Sequence[SheetRow],
    faults: Sequence[Fault],
    now: datetime,
    *,
    create: bool = False,
    tick: Tick = lambda _done: None,
) -> ImportResult:
    """Add what is not on record yet. `faults` are those that reading found; with them or any other, nothing is added.

    Raises SheetRefused with every fault of every row.
    """
    with database.write(now, f"import {sheet}") as session:
        all_faults = list(faults)
        names = look_up_names(session, rows, all_faults, create=create)
        intake = _Intake(session, names, SheetClock(now), all_faults)
        intake.load(rows)
        for row in rows:
            intake.take(row)
        if all_faults:
            raise SheetRefused(sheet, all_faults)
        intake.write(tick)
        return ImportResult(
            rows=len(rows),
            added=len(intake.arrivals),
            already_there=intake.already_there,
            nights_added=len(intake.new_nights),
            setups_added=len(intake.new_setups),
            names_made=names.made,
            still_to_tell=names.still_to_tell,
        )


class _Intake:
    """What is on record and what is to be added, while the rows are gone through once."""

    def __init__(self, session: Session, names: SheetNames, clock: SheetClock, faults: list[Fault]) -> None:
        self.session, self.names, self.clock, self.faults = session, names, clock, faults
        self.nights: dict[tuple[str, date], str] = {}
        self.setups: dict[tuple[str, str, int], SetupDraft] = {}
        self.setups_as_written: dict[tuple[str, str, str, int, str | None], SetupDraft | None] = {}
        self.on_record: dict[tuple[str, ...], tuple[Any, ...]] = {}
        self.new_nights: list[tuple[Any, ...]] = []
        self.new_setups: list[SetupDraft] = []
        self.filled_setups: list[SetupDraft] = []
        self.arrivals: list[tuple[Any, ...]] = []
        self.already_there = 0

    def load(self, rows: Sequence[SheetRow]) -> None:
        """Read the nights, set-ups and arrivals on record between the sheet's first and last night."""
        dates = sorted({day for text in {row["night"] for row in rows} if (day := self.clock.date_of(text))})
        if not dates:
            return
        within = Night.night_of.between(dates[0], dates[-1])
        self._load_nights(within)
        self._load_setups(within)
        self._load_arrivals(within)

    def _load_nights(self, within: ColumnElement[bool]) -> None:
        query = select(Night.id, Night.site_id, Night.night_of).where(within)
        for night_id, site_id, night_of in self.session.execute(query):
            self.nights[str(site_id), night_of] = str(night_id)

    def _load_setups(self, within: ColumnElement[bool]) -> None:
        query = select(Setup, Night.night_of).join(Night, Setup.night_id == Night.id).where(within)
        for setup, night_of in self.session.execute(query):
            draft = SetupDraft(
                id=str(setup.id),
                night_id=str(setup.night_id),
                mount_id=str(setup.mount_id),
                ordinal=setup.ordinal,
                night_of=night_of,
                tube_id=_text(setup.tube_id),
            )
            self.setups[draft.night_id, draft.mount_id, draft.ordinal] = draft

    def _load_arrivals(self, within: ColumnElement[bool]) -> None:
        columns = [getattr(Arrival, column) for column in ("member_id", *COMPARED_COLUMNS)]
        query = (
            select(Arrival.setup_id, Arrival.at_utc, Arrival.role, Arrival.target, *columns)
            .join(Setup, Arrival.setup_id == Setup.id)
            .join(Night, Setup.night_id == Night.id)
            .where(within)
        )
        for setup_id, at_utc, role, target, member_id, *values in self.session.execute(query):
            self.on_record[str(setup_id), stored_utc(at_utc), role, target] = (_text(member_id), *values)

    def take(self, row: SheetRow) -> None:
        """Put one row among what is to be added; what is wrong with it goes among the faults."""
        written = (row["site"], row["night"], row["mount"], row.get("setup", 1), row.get("tube"))
        if written not in self.setups_as_written:
            self.setups_as_written[written] = self._setup_of(row)
        setup = self.setups_as_written[written]
        if setup is None:
            self._fault_of_setup(row)
            return
        at_utc = self.clock.instant_of(row, setup.night_of, self.names.zones[row["site"]], self.faults)
        if at_utc is None:
            return
        member_id = self.names.keys["observer"].get(row.get("observer", ""))
        setup.member_id = setup.member_id or member_id
        key = (setup.id, stored_utc(at_utc), row["role"], row["target"])
        values = (member_id, *map(row.get, COMPARED_COLUMNS))
        known = self.on_record.setdefault(key, values)
        if known is values and row["mount"] in self.names.go_to_nothing:
            self._fault(
                row, "mount", f"{row['mount']} has no controller that goes to objects, so it has no arrivals."
            )
        elif known is values:
            self.arrivals.append((*key, *values, row["line"]))
        elif known == values:
            self.already_there += 1
        else:
            self._fault(row, "", _differs(row, known, values))

    def write(self, tick: Tick) -> None:
        insert_rows(self.session, _table(Night), ("id", "site_id", "night_of", "open"), self.new_nights)
        note_added(self.session, Night, [night[0] for night in self.new_nights])
        setups = [
            (s.id, s.night_id, s.mount_id, s.ordinal, s.tube_id, s.member_id, False) for s in self.new_setups
        ]
        insert_rows(self.session, _table(Setup), SETUP_COLUMNS, setups)
        note_added(self.session, Setup, [setup.id for setup in self.new_setups])
        for filled in self.filled_setups:
            self.session.get_one(Setup, UUID(filled.id)).tube_id = UUID(filled.tube_id)
        self.session.flush()
        added: list[str] = []
        for start in range(0, len(self.arrivals), CHUNK):
            chunk = self.arrivals[start : start + CHUNK]
            keys = new_keys_as_text(len(chunk))
            keyed = [(new, *row) for new, row in zip(keys, chunk, strict=True)]
            added += keys
            insert_rows(self.session, _table(Arrival), ARRIVAL_COLUMNS, keyed)
            tick(len(chunk))
        note_added(self.session, Arrival, added)

    def _setup_of(self, row: SheetRow) -> SetupDraft | None:
        """The set-up a row belongs to, on record or new; None where its names, date or tube do not allow one."""
        site_id = self.names.keys["site"].get(row["site"])
        mount_id = self.names.keys["mount"].get(row["mount"])
        night_of = self.clock.date_of(row["night"])
        if site_id is None or mount_id is None or night_of is None:
            return None
        night_id = self._night_id(site_id, night_of)
        ordinal, tube_id = row.get("setup", 1), self.names.keys["tube"].get(row.get("tube", ""))
        setup = self.setups.get((night_id, mount_id, ordinal))
        if setup is None:
            setup = SetupDraft(
                id=str(new_key()),
                night_id=night_id,
                mount_id=mount_id,
                ordinal=ordinal,
                night_of=night_of,
                tube_id=tube_id,
            )
            self.setups[night_id, mount_id, ordinal] = setup
            self.new_setups.append(setup)
        elif tube_id is not None and setup.tube_id is None:
            setup.tube_id = tube_id
            self.filled_setups.append(setup)
        elif tube_id is not None and tube_id != setup.tube_id:
            return None
        return setup

    def _night_id(self, site_id: str, night_of: date) -> str:
        """The night at that site, on record or new."""
        night_id = self.nights.get((site_id, night_of))
        if night_id is None:
            night_id = self.nights[site_id, night_of] = str(new_key())
            self.new_nights.append((night_id, site_id, night_of, False))
        return night_id

    def _fault_of_setup(self, row: SheetRow) -> None:
        """Say why a row has no set-up; a name that is not on record was noted when the names were looked up."""
        if self.clock.date_of(row["night"]) is None:
            self._fault(row, "night", f"{row['night']} is not a date of the calendar since {YEAR.low}.")
        elif row["site"] in self.names.keys["site"] and row["mount"] in self.names.keys["mount"]:
            self._fault(row, "tube", "this set-up has another tube; a change of tube begins a new set-up.")

    def _fault(self, row: SheetRow, column: str, reason: str) -> None:
        self.faults.append(Fault(row["line"], column, reason))


def _text(key: UUID | None) -> str | None:
    return None if key is None else str(key)


def _table(kind: type[Base]) -> Table:
    return cast(Table, kind.__table__)


def _differs(row: SheetRow, known: tuple[Any, ...], values: tuple[Any, ...]) -> str:
    compared = ("observer", *COMPARED_COLUMNS)
    columns = [column for column, old, new in zip(compared, known, values, strict=True) if old != new]
    return (
        f"{row['target']} at this time is there already with another {enumerated(columns)}; "
        "correct that one with obslog edit, or this line."
    )
