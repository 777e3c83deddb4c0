"""An item's paper: what the club writes down of it beside its name.

A value is of a day: whoever sets one and says no day values the item today.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog import fields
from obslog.club.register.club_day import club_day
from obslog.club.register.things import thing_named
from obslog.club.register.typed_values import LONGEST_TARGET, written
from obslog.club.storeroom.custody import name_told, paper_of, paper_to_write
from obslog.errors import NothingToChange, WrongInput, quoted
from obslog.records.database import Database
from obslog.records.history.recorder import call_act
from obslog.records.tables.base import name_key
from obslog.records.tables.logbook_tables import Equipment
from obslog.records.tables.storeroom import Paper
from obslog.times import not_a_future_date

WORDS = ("tag", "serial", "maker", "model", "place", "valued_by")
DAYS = ("acquired_on", "valued_on")
MONEY = {"cost": fields.COST, "value": fields.VALUE}


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


@dataclass(frozen=True, slots=True)
class Valuation:
    """Of which day a value is, and whose; None where that is not known, or nobody is to be named."""

    valued_on: date | None
    valued_by: str | None


def write_paper(
    database: Database, name: str, values: Mapping[str, Any], now: datetime, *, kind: str | None = None
) -> Equipment:
    """Write down what is given of an item, by the paper's columns; None clears.

    Raises UnknownName, WhichKind, TagTaken, OutOfRange, UnusableText, FutureDate, NotValued, NothingToChange.
    """
    if not values:
        raise NothingToChange(name)
    values = _with_its_valuation(values, club_day(database, now))
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
