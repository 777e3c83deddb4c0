"""An item's paper: what the club writes down of it beside its name; its photographs and receipts.

The files stay where they are; their names and SHA-256 are kept, to know them again.
A value is of a day: whoever sets one and says no day values the item today.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from hashlib import file_digest
from pathlib import Path
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog import fields
from obslog.club.register.things import thing_named
from obslog.club.register.typed_values import LONGEST_TARGET, written
from obslog.club.storeroom.custody import name_told, paper_of, paper_to_write
from obslog.errors import NothingToChange, WrongInput, quoted
from obslog.records.history.recorder import call_act
from obslog.records.opening import Database
from obslog.records.tables.base import name_key
from obslog.records.tables.logbook_tables import Equipment
from obslog.records.tables.storeroom import Paper, Photograph, Receipt
from obslog.times import not_a_future_date

WORDS = ("tag", "serial", "maker", "model", "place", "valued_by")
DAYS = ("acquired_on", "valued_on")
MONEY = {"cost": fields.COST, "value": fields.VALUE}
LONGEST_FILE_NAME = 400


class TagTaken(WrongInput):
    def __init__(self, tag: str, item: str) -> None:
        super().__init__(
            f"The tag {tag!r} is on {item} already.",
            f"Choose another, or see it: obslog store show {quoted(item)}",
        )


class NotValued(WrongInput):
    def __init__(self, name: str) -> None:
        super().__init__(
            f"{name} has no value on record, so nobody valued it.",
            f"Give the value too: obslog store note {quoted(name)} --value AMOUNT",
        )


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


@dataclass(frozen=True, slots=True)
class Valuation:
    """Of which day a value is, and whose; None where that is not known, or nobody is to be named."""

    valued_on: date | None
    valued_by: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FileKnown:
    """Whether a file is a photograph on record; `known_as` is the name that it had then."""

    file_name: str
    sha256: str
    known: bool
    known_as: str | None = None
    taken_on: date | None = None


def write_paper(
    database: Database, name: str, values: Mapping[str, Any], now: datetime, *, kind: str | None = None
) -> Equipment:
    """Write down what is given of an item, by the paper's columns; None clears.

    Raises UnknownName, WhichKind, TagTaken, OutOfRange, UnusableText, FutureDate, NotValued, NothingToChange.
    """
    if not values:
        raise NothingToChange(name)
    values = _with_its_valuation(values, now.date())
    checked = {column: _checked(column, value, now) for column, value in values.items()}
    with database.write(now, f"write down details of {name}") as session:
        item = thing_named(session, name, kind)
        call_act(session, f"write down details of {item.name}")
        if checked.get("tag") is not None:
            _refuse_taken_tag(session, checked["tag"], item)
        paper = paper_to_write(session, item.id)
        for column, value in checked.items():
            setattr(paper, column, value)
        if paper.value is None and (paper.valued_on or paper.valued_by):
            raise NotValued(item.name)
        return item


def _with_its_valuation(values: Mapping[str, Any], today: date) -> dict[str, Any]:
    """What is to be written, where a value is among it with its day, which is today unless said.

    An earlier valuation never stays with another value.
    """
    if "value" not in values:
        return dict(values)
    return {"valued_on": None if values["value"] is None else today, "valued_by": None, **values}


def add_photograph(
    database: Database,
    name: str,
    path: Path,
    now: datetime,
    *,
    taken_on: date | None = None,
    kind: str | None = None,
) -> PhotographLine:
    """Put a photograph of an item on record; the same file a second time adds nothing.

    Raises UnknownName, WhichKind, FutureDate, UnusableFileName, UnreadableFile.
    """
    if taken_on is not None:
        not_a_future_date(taken_on, now)
    digest = file_on_record(path)
    with database.write(now, f"add a photograph of {name}") as session:
        item = thing_named(session, name, kind)
        call_act(session, f"add a photograph of {item.name}")
        found = _with_digest(session, item, digest)
        if found is None:
            session.add(
                Photograph(equipment_id=item.id, file_name=path.name, sha256=digest, taken_on=taken_on)
            )
            return PhotographLine(path.name, digest, taken_on, new=True)
        if taken_on is not None:
            found.taken_on = taken_on
        return PhotographLine(found.file_name, digest, found.taken_on)


def check_photograph(database: Database, name: str, path: Path, kind: str | None = None) -> FileKnown:
    """Whether a file is, byte for byte, a photograph of the item on record.

    Raises UnknownName, WhichKind, UnreadableFile.
    """
    digest = sha256_of(path)
    with database.read() as session:
        found = _with_digest(session, thing_named(session, name, kind), digest)
    if found is None:
        return FileKnown(file_name=path.name, sha256=digest, known=False)
    return FileKnown(
        file_name=path.name, sha256=digest, known=True, known_as=found.file_name, taken_on=found.taken_on
    )


def photographs_of(session: Session, item: Equipment) -> list[PhotographLine]:
    """The photographs of an item, in the order in which they were added."""
    query = select(Photograph).where(Photograph.equipment_id == item.id).order_by(Photograph.id)
    return [PhotographLine(p.file_name, p.sha256, p.taken_on) for p in session.scalars(query)]


def receipts_of(session: Session, item: Equipment) -> list[ReceiptLine]:
    """The receipts of an item, in the order in which they were added."""
    query = select(Receipt).where(Receipt.equipment_id == item.id).order_by(Receipt.id)
    return [ReceiptLine(r.file_name, r.sha256, r.dated_on) for r in session.scalars(query)]


def valuation_of(session: Session, item: Equipment, *, with_names: bool) -> Valuation | None:
    """Of which day the item's value is; None where it has none."""
    paper = paper_of(session, item.id)
    if paper is None or paper.value is None:
        return None
    return Valuation(paper.valued_on, name_told(paper.valued_by, with_names=with_names))


def _checked(column: str, value: Any, now: datetime) -> Any:
    if value is None:
        return None
    if column in WORDS:
        return written(value, f"The {column.replace('_', ' ')}", LONGEST_TARGET)
    if column in MONEY:
        MONEY[column].check(value)
    if column in DAYS:
        not_a_future_date(value, now)
    return value


def _refuse_taken_tag(session: Session, tag: str, item: Equipment) -> None:
    query = (
        select(Paper.tag, Equipment.name)
        .join(Equipment, Paper.equipment_id == Equipment.id)
        .where(Paper.tag.is_not(None), Paper.equipment_id != item.id)
    )
    for taken, name in session.execute(query):
        if taken is not None and name_key(taken) == name_key(tag):
            raise TagTaken(taken, name)


def _with_digest(session: Session, item: Equipment, digest: str) -> Photograph | None:
    return session.scalar(
        select(Photograph).where(Photograph.equipment_id == item.id, Photograph.sha256 == digest)
    )


def file_on_record(path: Path) -> str:
    """The SHA-256 of a file whose name can be kept. Raises UnusableFileName, UnreadableFile."""
    if len(path.name) > LONGEST_FILE_NAME or not path.name.isprintable():
        raise UnusableFileName
    return sha256_of(path)


def sha256_of(path: Path) -> str:
    """By which a file is known again. Raises UnreadableFile."""
    try:
        with path.open("rb") as file:
            return file_digest(file, "sha256").hexdigest()
    except OSError as error:
        raise UnreadableFile(path, (error.strerror or str(error)).lower()) from error
