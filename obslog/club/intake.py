"""Taking in an arrivals sheet: names, nights, set-ups and arrivals, whole or not at all, and never twice."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, cast
from uuid import UUID

from sqlalchemy import Table, select, update
from sqlalchemy.orm import Session

from obslog.club.sheet_names import SheetNames, look_up_names
from obslog.club.sheet_rows import Fault, SheetRefused, SheetRow
from obslog.club.sheet_times import SheetClock
from obslog.records.base import Base
from obslog.records.bulk import insert_rows
from obslog.records.keys import new_key
from obslog.records.opening import Database
from obslog.records.tables import Act, Arrival, Night, Setup, Site

CHUNK = 5000
COMPARED = (
    "ra_hours", "dec_deg", "pier_side", "offset_east_arcmin", "offset_north_arcmin", "landing", "field_arcmin",
    "centring_arcmin", "note",
)  # fmt: skip
SETUP_COLUMNS = ("id", "night_id", "mount_id", "ordinal", "tube_id", "member_id", "open")
ARRIVAL_COLUMNS = ("id", "setup_id", "at_utc", "role", "target", "member_id", *COMPARED, "sheet_line")
Tick = Callable[[int], None]


@dataclass(frozen=True, slots=True)
class Taken:
    """What came of a sheet."""

    rows: int
    added: int
    already_there: int
    nights_added: int
    setups_added: int
    names_made: list[str]
    still_to_tell: list[str]


@dataclass(slots=True)
class SetupDraft:
    """A set-up of the sheet: on record already, or to be made. `key` is its id as text."""

    id: UUID
    night_id: UUID
    mount_id: UUID
    ordinal: int
    tube_id: UUID | None
    member_id: UUID | None
    key: str = ""

    def __post_init__(self) -> None:
        self.key = str(self.id)


def take_in(
    database: Database,
    sheet: str,
    rows: Sequence[SheetRow],
    faults: Sequence[Fault],
    now: datetime,
    *,
    create: bool = False,
    tick: Tick = lambda _done: None,
) -> Taken:
    """Add what is not on record yet. `faults` are those that reading found; with them or any other, nothing is added.

    Raises SheetRefused with every fault of every row.
    """
    with database.write(now) as session:
        all_faults = list(faults)
        names = look_up_names(session, rows, all_faults, create=create)
        intake = _Intake(session, names, SheetClock(now), all_faults)
        intake.load_nights(rows)
        for row in rows:
            intake.take(row)
        if all_faults:
            raise SheetRefused(sheet, all_faults)
        intake.write(tick)
        if intake.arrivals or names.made:
            session.add(Act(at_utc=now, sentence=f"import {sheet}"))
        return Taken(
            len(rows),
            len(intake.arrivals),
            intake.already_there,
            len(intake.new_nights),
            len(intake.new_setups),
            names.made,
            names.still_to_tell,
        )


class _Intake:
    """What is on record and what is to be added, while the rows are gone through once."""

    def __init__(self, session: Session, names: SheetNames, clock: SheetClock, faults: list[Fault]) -> None:
        self.session, self.names, self.clock, self.faults = session, names, clock, faults
        self.nights: dict[tuple[UUID, date], UUID] = {}
        self.setups: dict[tuple[UUID, UUID, int], SetupDraft] = {}
        self.on_record: dict[tuple[str, datetime, str, str], tuple[Any, ...]] = {}
        self.new_nights: list[tuple[Any, ...]] = []
        self.new_setups: list[SetupDraft] = []
        self.filled_setups: list[SetupDraft] = []
        self.arrivals: list[tuple[Any, ...]] = []
        self.already_there = 0

    def load_nights(self, rows: Sequence[SheetRow]) -> None:
        """Read the nights, set-ups and arrivals on record between the sheet's first and last night."""
        dates = sorted({day for text in {row["night"] for row in rows} if (day := self.clock.date_of(text))})
        if not dates:
            return
        within = Night.night_of.between(dates[0], dates[-1])
        for night_id, site_id, night_of in self.session.execute(
            select(Night.id, Night.site_id, Night.night_of).where(within)
        ):
            self.nights[site_id, night_of] = night_id
        for setup in self.session.scalars(
            select(Setup).join(Night, Setup.night_id == Night.id).where(within)
        ):
            key = (setup.night_id, setup.mount_id, setup.ordinal)
            self.setups[key] = SetupDraft(setup.id, *key, setup.tube_id, setup.member_id)
        columns = [getattr(Arrival, column) for column in ("member_id", *COMPARED)]
        query = (
            select(Arrival.setup_id, Arrival.at_utc, Arrival.role, Arrival.target, *columns)
            .join(Setup, Arrival.setup_id == Setup.id)
            .join(Night, Setup.night_id == Night.id)
            .where(within)
        )
        for setup_id, at_utc, role, target, *values in self.session.execute(query):
            self.on_record[str(setup_id), at_utc, role, target] = tuple(values)

    def take(self, row: SheetRow) -> None:
        """Put one row among what is to be added; what is wrong with it goes among the faults."""
        site = cast(Site | None, self.names.records["site"].get(row["site"]))
        mount = self.names.records["mount"].get(row["mount"])
        night = self.clock.date_of(row["night"])
        if night is None:
            self._fault(row, "night", f"{row['night']} is no date of the calendar.")
        if site is None or mount is None or night is None:
            return
        at_utc = self.clock.instant_of(row, night, site.zone, self.faults)
        if at_utc is None:
            return
        observer = self.names.records["observer"].get(row.get("observer", ""))
        member_id = observer.id if observer else None
        setup = self._setup_of(row, self._night_of(site.id, night), mount.id, member_id)
        key = (setup.key, at_utc, row["role"], row["target"])
        values = (member_id, *map(row.get, COMPARED))
        known = self.on_record.setdefault(key, values)
        if known is values:
            self.arrivals.append((str(new_key()), *key, *values, row["line"]))
        elif known == values:
            self.already_there += 1
        else:
            self._fault(row, "", _differs(row, known, values))

    def write(self, tick: Tick) -> None:
        insert_rows(self.session, _table(Night), ("id", "site_id", "night_of", "open"), self.new_nights)
        setups = [
            (s.id, s.night_id, s.mount_id, s.ordinal, s.tube_id, s.member_id, False) for s in self.new_setups
        ]
        insert_rows(self.session, _table(Setup), SETUP_COLUMNS, setups)
        for filled in self.filled_setups:
            self.session.execute(update(Setup).where(Setup.id == filled.id).values(tube_id=filled.tube_id))
        for start in range(0, len(self.arrivals), CHUNK):
            chunk = self.arrivals[start : start + CHUNK]
            insert_rows(self.session, _table(Arrival), ARRIVAL_COLUMNS, chunk)
            tick(len(chunk))

    def _night_of(self, site_id: UUID, night: date) -> UUID:
        night_id = self.nights.get((site_id, night))
        if night_id is None:
            night_id = self.nights[site_id, night] = new_key()
            self.new_nights.append((night_id, site_id, night, False))
        return night_id

    def _setup_of(self, row: SheetRow, night_id: UUID, mount_id: UUID, member_id: UUID | None) -> SetupDraft:
        ordinal = row.get("setup", 1)
        tube = self.names.records["tube"].get(row.get("tube", ""))
        tube_id = tube.id if tube else None
        setup = self.setups.get((night_id, mount_id, ordinal))
        if setup is None:
            setup = SetupDraft(new_key(), night_id, mount_id, ordinal, tube_id, member_id)
            self.setups[night_id, mount_id, ordinal] = setup
            self.new_setups.append(setup)
        elif tube_id is not None and setup.tube_id is None:
            setup.tube_id = tube_id
            self.filled_setups.append(setup)
        elif tube_id is not None and tube_id != setup.tube_id:
            self._fault(row, "tube", "this set-up has another tube; a change of tube begins a new set-up.")
        return setup

    def _fault(self, row: SheetRow, column: str, reason: str) -> None:
        self.faults.append(Fault(row["line"], column, reason))


def _table(kind: type[Base]) -> Table:
    return cast(Table, kind.__table__)


def _differs(row: SheetRow, known: tuple[Any, ...], values: tuple[Any, ...]) -> str:
    compared = ("observer", *COMPARED)
    columns = [column for column, old, new in zip(compared, known, values, strict=True) if old != new]
    return (
        f"{row['target']} at this time is there already with another {' and '.join(columns)}; "
        "correct that one with obslog edit, or this line."
    )
