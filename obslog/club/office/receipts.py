"""Receipts for items: on record by their file's name and SHA-256, and known again. The files stay where they are."""

from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.register.things import thing_named
from obslog.club.storeroom.inventory_details import ReceiptLine, file_on_record, sha256_of
from obslog.records.history.recorder import call_act
from obslog.records.opening import Database
from obslog.records.tables.logbook_tables import Equipment
from obslog.records.tables.storeroom import Receipt
from obslog.times import not_a_future_date

__all__ = ["ReceiptKnown", "ReceiptLine", "add_receipt", "check_receipt"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiptKnown:
    """Whether a file is a receipt on record; `known_as` is the name that it had then."""

    file_name: str
    sha256: str
    known: bool
    known_as: str | None = None
    dated_on: date | None = None


def add_receipt(
    database: Database,
    name: str,
    path: Path,
    now: datetime,
    *,
    dated_on: date | None = None,
    kind: str | None = None,
) -> ReceiptLine:
    """Put a receipt for an item on record; the same file a second time adds nothing, but may tell its day.

    Raises UnknownName, WhichKind, FutureDate, UnusableFileName, UnreadableFile.
    """
    if dated_on is not None:
        not_a_future_date(dated_on, now)
    digest = file_on_record(path)
    with database.write(now, f"add a receipt for {name}") as session:
        item = thing_named(session, name, kind)
        call_act(session, f"add a receipt for {item.name}")
        found = _with_digest(session, item, digest)
        if found is None:
            session.add(Receipt(equipment_id=item.id, file_name=path.name, sha256=digest, dated_on=dated_on))
            return ReceiptLine(path.name, digest, dated_on, new=True)
        found.dated_on = dated_on or found.dated_on
        return ReceiptLine(found.file_name, digest, found.dated_on)


def check_receipt(database: Database, name: str, path: Path, kind: str | None = None) -> ReceiptKnown:
    """Whether a file is, byte for byte, a receipt for the item on record.

    Raises UnknownName, WhichKind, UnreadableFile.
    """
    digest = sha256_of(path)
    with database.read() as session:
        found = _with_digest(session, thing_named(session, name, kind), digest)
    return ReceiptKnown(
        file_name=path.name,
        sha256=digest,
        known=found is not None,
        known_as=found.file_name if found else None,
        dated_on=found.dated_on if found else None,
    )


def _with_digest(session: Session, item: Equipment, digest: str) -> Receipt | None:
    return session.scalar(select(Receipt).where(Receipt.equipment_id == item.id, Receipt.sha256 == digest))
