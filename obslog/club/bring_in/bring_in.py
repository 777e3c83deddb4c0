"""Taking a club's own sheet in: looked at first, then whole or not at all, and taken back by one undo."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from obslog.club.bring_in.intake import Intake, Outcome, RowOutcome
from obslog.club.bring_in.items_in import items_in
from obslog.club.bring_in.kits_in import kits_in
from obslog.club.bring_in.loans_in import loans_in
from obslog.club.bring_in.members_in import members_in
from obslog.club.bring_in.observations_in import observations_in
from obslog.club.bring_in.services_in import services_in
from obslog.club.register.club_day import club_day
from obslog.club.register.rule_book import currency_of
from obslog.exchange.arrivals_rows import Fault, SheetRefused
from obslog.exchange.spreadsheets.cell_dates import DateOrder
from obslog.exchange.spreadsheets.columns import kinds
from obslog.exchange.spreadsheets.reading import read_spreadsheet
from obslog.records.database import Database

FIND_OUT: Mapping[str, Callable[[Intake], None]] = {
    "members": members_in,
    "items": items_in,
    "kits": kits_in,
    "loans": loans_in,
    "services": services_in,
    "observations": observations_in,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenIn:
    """What came of a sheet, or with `looked_only` what would come of it, row by row.

    `new`, `changed` and `same` count records, of which each may fill several rows.
    `left_out` are heads of columns that are not known, with the column that each may have been meant to be.
    """

    sheet: str
    looked_only: bool
    new: int
    changed: int
    same: int
    rows: Sequence[RowOutcome]
    faults: Sequence[Fault]
    left_out: Mapping[str, str | None]


def bring_in(
    database: Database,
    kind: str,
    path: Path,
    now: datetime,
    *,
    look: bool = False,
    order: DateOrder | None = None,
    worksheet: str | None = None,
) -> TakenIn:
    """Take in a sheet of one of `FIND_OUT`, as one act; to `look` changes nothing and tells the faults.

    Raises SheetRefused with every fault of every row, NoSuchFile, UnreadableSheet, NoHead, TwoHeads.
    """
    sheet = read_spreadsheet(
        path,
        kinds()[kind],
        club_day(database, now),
        order=order,
        worksheet=worksheet,
        currency=currency_of(database),
    )
    if look:
        with database.read() as session:
            intake = Intake(session=session, rows=sheet.rows, now=now, faults=list(sheet.faults))
            FIND_OUT[kind](intake)
    else:
        with database.write(now, f"import {kind} {path.name}") as session:
            intake = Intake(session=session, rows=sheet.rows, now=now, faults=list(sheet.faults))
            FIND_OUT[kind](intake)
            if intake.faults:
                raise SheetRefused(path.name, intake.faults, "row")
            intake.write()
    counts = intake.counts()
    return TakenIn(
        sheet=path.name,
        looked_only=look,
        new=counts[Outcome.NEW],
        changed=counts[Outcome.CHANGED],
        same=counts[Outcome.SAME],
        rows=intake.outcomes,
        faults=sorted(intake.faults, key=lambda fault: fault.line),
        left_out=sheet.left_out,
    )
