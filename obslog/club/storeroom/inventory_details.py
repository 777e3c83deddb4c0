"""An item's paper: what the club writes down of it beside its name; and its photographs.

The files of photographs stay where they are; their names and SHA-256 are kept, to know them again.
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
from obslog.club.storeroom.custody import paper_to_write
from obslog.errors import NothingToChange, WrongInput, quoted
from obslog.records.history.recorder import call_act
from obslog.records.opening import Database
from obslog.records.tables.base import name_key
from obslog.records.tables.logbook_tables import Equipment
from obslog.records.tables.storeroom import Paper, Photograph
from obslog.times import not_a_future_date

WORDS = ("tag", "serial", "maker", "model", "place")
MONEY = {"cost": fields.COST, "value": fields.VALUE}
LONGEST_FILE_NAME = 400


class TagTaken(WrongInput):
    def __init__(self, tag: str, item: str) -> None:
        super().__init__(
            f"The tag {tag!r} is on {item} already.",
            f"Choose another, or see it: obslog store show {quoted(item)}",
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

    Raises UnknownName, WhichKind, TagTaken, OutOfRange, UnusableText, FutureDate, NothingToChange.
    """
    if not values:
        raise NothingToChange(name)
    checked = {column: _checked(column, value, now) for column, value in values.items()}
    with database.write(now, f"write down details of {name}") as session:
        item = thing_named(session, name, kind)
        call_act(session, f"write down details of {item.name}")
        if checked.get("tag") is not None:
            _refuse_taken_tag(session, checked["tag"], item)
        paper = paper_to_write(session, item.id)
        for column, value in checked.items():
            setattr(paper, column, value)
        return item


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
    if len(path.name) > LONGEST_FILE_NAME or not path.name.isprintable():
        raise UnusableFileName
    digest = _sha256(path)
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
    digest = _sha256(path)
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


def _checked(column: str, value: Any, now: datetime) -> Any:
    if value is None:
        return None
    if column in WORDS:
        return written(value, f"The {column}", LONGEST_TARGET)
    if column in MONEY:
        MONEY[column].check(value)
    if column == "acquired_on":
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


def _sha256(path: Path) -> str:
    try:
        with path.open("rb") as file:
            return file_digest(file, "sha256").hexdigest()
    except OSError as error:
        raise UnreadableFile(path, (error.strerror or str(error)).lower()) from error
