"""The register of named things: sites, members, mounts, tubes, eyepieces and other items.

One set of acts serves all kinds; what is particular to a kind (which values it has, and what makes them wrong) is in
the tables below. Values arrive as a dictionary of column names, a column that was not given being absent.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import inspect, select
from sqlalchemy.orm import Session

from obslog.club.register.site_plausibility import check_site
from obslog.errors import NameTaken, NothingToChange, OutOfRange, WrongInput
from obslog.records.name_lookup import Named, by_name, table_of
from obslog.records.opening import Database
from obslog.records.tables.base import Base, name_key

Values = Mapping[str, Any]
LONGEST_NAME = 200


class EmptyName(WrongInput):
    def __init__(self, kind: str) -> None:
        super().__init__(
            f"The name of a {kind} has 1 to {LONGEST_NAME} characters and no control characters.",
            "Give it a shorter, plain name.",
        )


@dataclass(frozen=True, slots=True)
class Range:
    """What a number may be, and how it is called when it is not."""

    what: str
    low: float
    high: float
    unit: str


RANGES: dict[str, Range] = {
    "lat_deg": Range("Latitude", -90, 90, "degrees"),
    "lon_deg": Range("Longitude", -180, 180, "degrees"),
    "elevation_m": Range("Elevation", -500, 9000, "metres"),
    "aperture_mm": Range("Aperture", 10, 5000, "mm"),
    "focal_mm": Range("Focal length", 1, 50000, "mm"),
    "field_deg": Range("Apparent field", 1, 150, "degrees"),
    "field_stop_mm": Range("Field stop", 0.5, 100, "mm"),
}


PLACE = {
    "lon_deg",
    "zone",
}  # looked at together; a doubtful pair, once confirmed, is not questioned at other edits


def add(
    database: Database, kind: str, name: str, values: Values, now: datetime, *, sure: bool = False
) -> dict[str, Any]:
    """Put a named thing on record; raises NameTaken, OutOfRange and, for sites, what check_site raises."""
    name = checked_name(kind, name)
    with database.write(now, f"add {kind} {name}") as session:
        return plain_record(add_record(session, kind, name, values, sure=sure))


def add_record(session: Session, kind: str, name: str, values: Values, *, sure: bool = False) -> Named:
    """The same within a transaction that is under way."""
    name = checked_name(kind, name)
    _check(kind, values, sure)
    _refuse_taken(session, kind, name)
    record = table_of(kind)(name=name, name_key=name_key(name), **values)
    session.add(record)
    session.flush()
    return record


def edit(
    database: Database,
    kind: str,
    name: str,
    values: Values,
    now: datetime,
    *,
    rename: str | None = None,
    sure: bool = False,
) -> dict[str, Any]:
    """Change what is on record; only what is given changes."""
    if not values and rename is None:
        raise NothingToChange(f"the {kind} {name!r}")
    with database.write(now, f"edit {kind} {name}") as session:
        record = by_name(session, table_of(kind), name)
        _check(kind, values if values.keys().isdisjoint(PLACE) else {**plain_record(record), **values}, sure)
        if rename is not None:
            rename = checked_name(kind, rename)
            if name_key(rename) != record.name_key:
                _refuse_taken(session, kind, rename)
            record.name, record.name_key = rename, name_key(rename)
        for column, value in values.items():
            setattr(record, column, value)
        return plain_record(record)


def listed(database: Database, kind: str, *, with_retired: bool = False) -> list[dict[str, Any]]:
    """All of a kind, by name; the retired ones only where asked."""
    table = table_of(kind)
    query = select(table).order_by(table.name_key)
    if not with_retired:
        query = query.where(table.retired_on.is_(None))
    with database.read() as session:
        return [plain_record(record) for record in session.scalars(query)]


def shown(database: Database, kind: str, name: str) -> dict[str, Any]:
    """One thing with all its values; raises UnknownName."""
    with database.read() as session:
        return plain_record(by_name(session, table_of(kind), name))


def checked_name(kind: str, name: str) -> str:
    """The name with its spaces tidied; raises EmptyName where there is none, or it is too long or unprintable."""
    name = " ".join(name.split())
    if not 1 <= len(name) <= LONGEST_NAME or not name.isprintable():
        raise EmptyName(kind)
    return name


def _check(kind: str, values: Values, sure: bool) -> None:
    for column, value in values.items():
        limits = RANGES.get(column)
        if limits and value is not None and not (math.isfinite(value) and limits.low <= value <= limits.high):
            raise OutOfRange(limits.what, value, limits.low, limits.high, limits.unit)
    if kind == "site":
        check_site(values.get("zone"), values.get("lon_deg"), sure=sure)


def _refuse_taken(session: Session, kind: str, name: str) -> None:
    table = table_of(kind)
    taken = session.scalar(select(table.name).where(table.name_key == name_key(name)))
    if taken is not None:
        raise NameTaken(kind, taken)


def plain_record(record: Base) -> dict[str, Any]:
    hidden = {"id", "kind", "name_key"}
    columns = [a.key for a in inspect(type(record)).column_attrs if a.key not in hidden]
    return {column: getattr(record, column) for column in ("name", *columns)}
