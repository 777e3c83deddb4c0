"""The register of named things: sites, members, mounts, tubes, eyepieces and other items.

One set of acts serves all kinds; what is particular to a kind (which values it has, and what makes them wrong) is in
the tables below. Values arrive as a dictionary of column names, a column that was not given being absent.
"""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from sqlalchemy import inspect, select
from sqlalchemy.orm import Session

from obslog import fields
from obslog.club.register.site_plausibility import check_site
from obslog.club.register.typed_values import checked_name
from obslog.errors import NameTaken, NothingToChange
from obslog.fields import NumberField
from obslog.records.database import Database
from obslog.records.history.recorder import call_act
from obslog.records.name_lookup import Named, by_name, table_of
from obslog.records.tables.base import Base, name_key

Values = Mapping[str, Any]
FIELDS: dict[tuple[str, str], NumberField] = {
    ("site", "lat_deg"): fields.LATITUDE_DEG,
    ("site", "lon_deg"): fields.LONGITUDE_DEG,
    ("site", "elevation_m"): fields.ELEVATION_M,
    ("tube", "aperture_mm"): fields.APERTURE_MM,
    ("tube", "focal_mm"): fields.TUBE_FOCAL_MM,
    ("eyepiece", "focal_mm"): fields.EYEPIECE_FOCAL_MM,
    ("eyepiece", "field_deg"): fields.APPARENT_FIELD_DEG,
    ("eyepiece", "field_stop_mm"): fields.FIELD_STOP_MM,
}
# Looked at together; a doubtful pair, once confirmed, is not questioned at other edits.
PLACE = {"lat_deg", "lon_deg", "zone"}


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
    """Change what is on record; only what is given changes. A new name asks for the whole old one. Raises HasLeft."""
    if not values and rename is None:
        raise NothingToChange(f"the {kind} {name!r}")
    with database.write(now, f"edit {kind} {name}") as session:
        record = by_name(session, table_of(kind), name, whole=rename is not None)
        call_act(session, f"edit {kind} {record.name}")
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


def _check(kind: str, values: Values, sure: bool) -> None:
    for column, value in values.items():
        if (kind, column) in FIELDS:
            FIELDS[kind, column].check(value)
        elif column == "sort" and value is not None:
            fields.CATEGORY.checked(value)
    if kind == "site":
        check_site(values.get("zone"), values.get("lon_deg"), values.get("lat_deg"), sure=sure)


def _refuse_taken(session: Session, kind: str, name: str) -> None:
    table = table_of(kind)
    taken = session.scalar(select(table.name).where(table.name_key == name_key(name)))
    if taken is not None:
        raise NameTaken(kind, taken)


def plain_record(record: Base) -> dict[str, Any]:
    hidden = {"id", "kind", "name_key"}
    columns = [a.key for a in inspect(type(record)).column_attrs if a.key not in hidden]
    return {column: getattr(record, column) for column in ("name", *columns)}
