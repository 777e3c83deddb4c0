"""Proof that an item is the club's: photographs of it, and receipts for it.

A photograph and a receipt differ in their table, and in what their day means. The files stay where they are;
their names and SHA-256 are kept, to know them again.
"""

from dataclasses import dataclass
from datetime import date, datetime
from hashlib import file_digest
from pathlib import Path
from typing import TypeVar

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.register.things import thing_named
from obslog.errors import WrongInput, why_not_read
from obslog.records.database import Database
from obslog.records.history.recorder import call_act
from obslog.records.tables.logbook_tables import Equipment
from obslog.records.tables.storeroom import Photograph, Receipt
from obslog.times import not_a_future_date

LONGEST_FILE_NAME = 400

Proof = TypeVar("Proof", Photograph, Receipt)
DAY_OF = {Photograph: "taken_on", Receipt: "dated_on"}
CALLED = {Photograph: "a photograph of", Receipt: "a receipt for"}


class UnusableFileName(WrongInput):
    def __init__(self) -> None:
        super().__init__(
            f"The file's name has more than {LONGEST_FILE_NAME} characters, or characters that cannot be shown.",
            "Rename the file.",
        )


class UnreadableFile(WrongInput):
    def __init__(self, path: Path, why: str) -> None:
        super().__init__(f"The file {str(path)!r} cannot be read: {why}.", "Check its name and folder.")


@dataclass(frozen=True, slots=True)
class PhotographLine:
    """A photograph on record; `new` where it was added just now."""

    file_name: str
    sha256: str
    taken_on: date | None
    new: bool = False


@dataclass(frozen=True, slots=True)
class ReceiptLine:
    """A receipt on record, with the day that stands on it; `new` where it was added just now."""

    file_name: str
    sha256: str
    dated_on: date | None
    new: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotographKnown:
    """Whether a file is a photograph on record; `known_as` is the name that it had then."""

    file_name: str
    sha256: str
    known: bool
    known_as: str | None = None
    taken_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiptKnown:
    """Whether a file is a receipt on record; `known_as` is the name that it had then."""

    file_name: str
    sha256: str
    known: bool
    known_as: str | None = None
    dated_on: date | None = None


def add_photograph(
    database: Database,
    name: str,
    path: Path,
    now: datetime,
    *,
    taken_on: date | None = None,
    kind: str | None = None,
) -> PhotographLine:
    """Put a photograph of an item on record; the same file a second time adds nothing, but may tell its day.

    Raises UnknownName, WhichKind, FutureDate, UnusableFileName, UnreadableFile.
    """
    file_name, digest, day, new = _add(database, Photograph, name, path, now, day=taken_on, kind=kind)
    return PhotographLine(file_name, digest, day, new)


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

    One receipt may be for several items, and is then put on record for each. Raises as add_photograph.
    """
    file_name, digest, day, new = _add(database, Receipt, name, path, now, day=dated_on, kind=kind)
    return ReceiptLine(file_name, digest, day, new)


def check_photograph(database: Database, name: str, path: Path, kind: str | None = None) -> PhotographKnown:
    """Whether a file is, byte for byte, a photograph of the item on record.

    Raises UnknownName, WhichKind, UnreadableFile.
    """
    digest, known_as, day = _look_for(database, Photograph, name, path, kind)
    return PhotographKnown(
        file_name=path.name, sha256=digest, known=known_as is not None, known_as=known_as, taken_on=day
    )


def check_receipt(database: Database, name: str, path: Path, kind: str | None = None) -> ReceiptKnown:
    """Whether a file is, byte for byte, a receipt for the item on record. Raises as check_photograph."""
    digest, known_as, day = _look_for(database, Receipt, name, path, kind)
    return ReceiptKnown(
        file_name=path.name, sha256=digest, known=known_as is not None, known_as=known_as, dated_on=day
    )


def photographs_of(session: Session, item: Equipment) -> list[PhotographLine]:
    """The photographs of an item, in the order in which they were added."""
    query = select(Photograph).where(Photograph.equipment_id == item.id).order_by(Photograph.id)
    return [PhotographLine(p.file_name, p.sha256, p.taken_on) for p in session.scalars(query)]


def receipts_of(session: Session, item: Equipment) -> list[ReceiptLine]:
    """The receipts of an item, in the order in which they were added."""
    query = select(Receipt).where(Receipt.equipment_id == item.id).order_by(Receipt.id)
    return [ReceiptLine(r.file_name, r.sha256, r.dated_on) for r in session.scalars(query)]


def _add(
    database: Database,
    record: type[Proof],
    name: str,
    path: Path,
    now: datetime,
    *,
    day: date | None,
    kind: str | None,
) -> tuple[str, str, date | None, bool]:
    """File name, SHA-256 and day as they now stand on record, and whether the record is new."""
    if day is not None:
        not_a_future_date(day, now)
    if len(path.name) > LONGEST_FILE_NAME or not path.name.isprintable():
        raise UnusableFileName
    digest = _sha256_of(path)
    with database.write(now, f"add {CALLED[record]} {name}") as session:
        item = thing_named(session, name, kind)
        call_act(session, f"add {CALLED[record]} {item.name}")
        found = _with_digest(session, record, item, digest)
        if found is None:
            told = {DAY_OF[record]: day}
            session.add(record(equipment_id=item.id, file_name=path.name, sha256=digest, **told))
            return path.name, digest, day, True
        if day is not None:
            setattr(found, DAY_OF[record], day)
        return found.file_name, digest, getattr(found, DAY_OF[record]), False


def _look_for(
    database: Database, record: type[Proof], name: str, path: Path, kind: str | None
) -> tuple[str, str | None, date | None]:
    """The file's SHA-256, and the name and day under which it is on record; None where it is not."""
    digest = _sha256_of(path)
    with database.read() as session:
        found = _with_digest(session, record, thing_named(session, name, kind), digest)
        return (digest, found.file_name, getattr(found, DAY_OF[record])) if found else (digest, None, None)


def _with_digest(session: Session, record: type[Proof], item: Equipment, digest: str) -> Proof | None:
    query = select(record).where(record.equipment_id == item.id, record.sha256 == digest)
    return session.scalar(query)


def _sha256_of(path: Path) -> str:
    """By which a file is known again. Raises UnreadableFile."""
    try:
        with path.open("rb") as file:
            return file_digest(file, "sha256").hexdigest()
    except OSError as error:
        raise UnreadableFile(path, why_not_read(error, path)) from error
