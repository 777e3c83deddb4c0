"""Rows of any table as people read them: keys as the names they stand for, other members not named."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any
from uuid import UUID

from sqlalchemy import Column, ColumnElement, Table, select
from sqlalchemy.orm import Session

from obslog.records.tables.keys import reference_of
from obslog.records.tables.schema import metadata

ANOTHER = "another member"
_HIDDEN = {"id", "name_key", "search_text", "sheet_line"}
_WITH_REFERENCE = {"loans", "snags", "services"}  # what people name by it, and other rows refer to
_CALLED = {
    "night_of": "night",
    "at_utc": "when",
    "setup_id": "set-up",
    "equipment_id": "item",
    "ordinal": "number",
    "ra_hours": "right ascension h",
    "dec_deg": "declination °",
    "alt_deg": "altitude °",
}
_ITEMS = ("equipment", "mounts", "tubes", "eyepieces", "items")


@dataclass(slots=True)
class RowReader:
    """Reads rows that are about one member; what keys stand for is looked up once."""

    session: Session
    member: UUID
    _known: dict[tuple[str, UUID], str] = field(default_factory=dict)

    def rows(
        self, table: Table, where: ColumnElement[bool], left_out: Sequence[str] = ()
    ) -> tuple[list[str], list[list[str]]]:
        """The heads and rows of a table; columns of which nothing is known are left out."""
        columns = [c for c in table.columns if c.name not in _HIDDEN and c.name not in left_out]
        found = self.session.execute(select(*columns, table.c.id).where(where).order_by(table.c.id)).all()
        shown = [place for place in range(len(columns)) if any(row[place] is not None for row in found)]
        heads = [_head(columns[place]) for place in shown]
        rows = [[self._cell(columns[place], row[place]) for place in shown] for row in found]
        if shown and table.name not in _WITH_REFERENCE:
            return heads, rows
        references = [reference_of(row[-1]) for row in found]
        return ["reference", *heads], [[one, *row] for one, row in zip(references, rows, strict=True)]

    def _cell(self, column: Column[Any], value: Any) -> str:
        if isinstance(value, UUID):
            to = next((key.column.table.name for key in column.foreign_keys), "")
            return self._name(to, value)
        return cell_words(value)

    def _name(self, table: str, key: UUID) -> str:
        known = self._known.get((table, key))
        if known is None:
            known = self._known[table, key] = self._looked_up(table, key)
        return known

    def _looked_up(self, table: str, key: UUID) -> str:
        if table == "members":
            return "you" if key == self.member else ANOTHER
        tables = metadata.tables
        if table == "nights":
            row = self.session.execute(
                select(tables["nights"].c.night_of, tables["nights"].c.site_id).where(
                    tables["nights"].c.id == key
                )
            ).one()
            return f"{row.night_of} at {self._name('sites', row.site_id)}"
        if table == "setups":
            setups = tables["setups"]
            row = self.session.execute(
                select(setups.c.mount_id, setups.c.night_id).where(setups.c.id == key)
            ).one()
            return f"{self._name('mounts', row.mount_id)}, {self._name('nights', row.night_id)}"
        of = tables["equipment" if table in _ITEMS else table] if table in tables else None
        column = (
            next((of.c[name] for name in ("name", "label") if name in of.c), None) if of is not None else None
        )
        if of is None or column is None:
            return reference_of(key)
        return str(self.session.scalar(select(column).where(of.c.id == key)))


def cell_words(value: Any) -> str:
    """A value in words; nothing for an unknown one."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return f"{value:%Y-%m-%d %H:%M:%S} UTC"
    if isinstance(value, date):
        return value.isoformat()
    return f"{value:.6g}" if isinstance(value, float) else str(value)


def _head(column: Column[Any]) -> str:
    name = _CALLED.get(column.name, column.name)
    return name.removesuffix("_id").removesuffix("_utc").replace("_", " ")
