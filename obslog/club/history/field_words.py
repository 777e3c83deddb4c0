"""Fields of records in plain words: keys as the names they stand for, times as people read them, no field twice."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import UUID

from sqlalchemy import Table, select
from sqlalchemy.orm import Session

from obslog.records.history.images import Image, RecordKind
from obslog.records.tables.column_types import Key, UtcTime, YesNo
from obslog.records.tables.equipment import Equipment
from obslog.records.tables.keys import reference_of
from obslog.records.tables.schema import metadata

NOT_TOLD = {"id", "kind", "name_key", "search_text", "sheet_line"}
WITHHELD = {"Contact": "(not shown)"}
"""Kinds whose values are told to nobody who asks in passing; that they changed is."""

_CALLED = {
    "night_of": "night",
    "at_utc": "when",
    "setup_id": "set-up",
    "equipment_id": "item",
    "ordinal": "number",
    "sort": "category",
    "ra_hours": "right ascension (hours)",
    "dec_deg": "declination (°)",
    "lat_deg": "latitude (°)",
    "lon_deg": "longitude (°)",
    "alt_deg": "altitude (°)",
    "field_deg": "field (°)",
}
_UNITS = {
    "_mm": " (mm)",
    "_m": " (m)",
    "_kg": " (kg)",
    "_arcmin": " (arcmin)",
    "_volts": " (V)",
    "_percent": " (%)",
}
_KINDS = {"NotOnRecord": "item not on record", "SameRecord": "joining", "Setup": "set-up", "Paper": "papers"}
_ITEMS = ("mounts", "tubes", "eyepieces", "items")
_TITLES = ("name", "target", "label", "file_name", "text", "task", "tag", "night_of", "step")
_NAMES = ("name", "night_of", "label", "target", "started_on")
_BEGAN = ("started_on", "out_on", "renewed_on", "called_on", "tested_on", "joined_on", "retired_on", "since")
_TITLE_LENGTH = 40
_OF = {
    "mount_id": "mounts",
    "equipment_id": Equipment.__tablename__,
    "kit_id": "kits",
    "loan_id": "loans",
    "service_id": "services",
    "night_id": "nights",
    "stocktake_id": "stocktakes",
}
"""By what a record without a name of its own is called, the first that it has, and the table of that."""
_CALLED_BY_ANOTHER = {
    "setups": ("mount_id",),
    "loans": ("equipment_id", "kit_id"),
    "services": ("equipment_id",),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldChange:
    """A field from what to what, in words; None for what is unknown, and for what was not there."""

    field: str
    before: str | None
    after: str | None


def kind_words(kind: str) -> str:
    """The kind of a record as people call it: `kit part` for KitPart."""
    return _KINDS.get(kind) or re.sub(r"(?<=[a-z])(?=[A-Z])", " ", kind).lower()


def title_of(kind: str, image: Image | None, key: UUID) -> str:
    """What a record is called: its kind, and its name or what else tells it apart, or its reference."""
    told = next((str(image[name]) for name in _TITLES if image.get(name)), None) if image else None
    if told is None or kind in WITHHELD:
        return f"{kind_words(kind)} {reference_of(key)}"
    short = " ".join(told.split())
    return f"{kind_words(kind)} {short if len(short) <= _TITLE_LENGTH else short[: _TITLE_LENGTH - 1] + '…'}"


def _day_of(image: Image) -> str:
    """The day on which a record began, where it has one: not that of its end, nor when something is due."""
    return next((str(image[name]) for name in _BEGAN if image.get(name)), "")


@dataclass(slots=True)
class FieldReader:
    """Reads images; what keys stand for is looked up once."""

    session: Session
    _known: dict[tuple[str, str], str] = field(default_factory=dict)

    def title(self, kind: str, image: Image | None, key: UUID) -> str:
        """As `title_of`; what has no name is called by that of which it is, and by its number or its day.

        `set-up 2 of Heron`, `loan of Heron, 2026-03-02`, `stocktake 2026-03-02`.
        """
        if not image or kind in WITHHELD or any(image.get(name) for name in _TITLES):
            return title_of(kind, image, key)
        number = f" {image['ordinal']}" if image.get("ordinal") else ""
        of, day = self._of(image), _day_of(image)
        if of:
            return f"{kind_words(kind)}{number} of {of}{', ' if day else ''}{day}"
        return f"{kind_words(kind)} {day}" if day else title_of(kind, image, key)

    def _of(self, image: Image) -> str:
        """What a record is of, by name; empty where it is of nothing that has one."""
        return next(
            (self._name(_OF[name], str(image[name])).removeprefix("of ") for name in _OF if image.get(name)),
            "",
        )

    def changes(self, kind: RecordKind, before: Image | None, after: Image | None) -> list[FieldChange]:
        """The fields that differ; where the record came or went, all of which something was known."""
        was, became = before or {}, after or {}
        withheld = WITHHELD.get(kind.name)
        found = []
        for name in kind.types:
            if name in NOT_TOLD or was.get(name) == became.get(name):
                continue
            old, new = (self._value(kind, name, image.get(name)) for image in (was, became))
            if withheld is not None:
                old, new = (withheld if value is not None else None for value in (old, new))
            found.append(FieldChange(field=field_words(name), before=old, after=new))
        return found

    def _value(self, kind: RecordKind, name: str, value: Any) -> str | None:
        if value is None:
            return None
        type_ = kind.types[name]
        if isinstance(type_, YesNo):
            return "yes" if value else "no"
        if isinstance(type_, UtcTime):
            return f"{datetime.fromisoformat(value):%Y-%m-%d %H:%M:%S} UTC"
        if isinstance(type_, Key):
            return self._name(_referred(kind, name), str(value))
        return f"{value:.10g}" if isinstance(value, float) else str(value)

    def _name(self, table: str, key: str) -> str:
        known = self._known.get((table, key))
        if known is None:
            known = self._known[table, key] = self._looked_up(table, UUID(key))
        return known

    def _looked_up(self, table: str, key: UUID) -> str:
        tables: Mapping[str, Table] = metadata.tables
        of = tables[Equipment.__tablename__ if table in _ITEMS else table]
        for column in _CALLED_BY_ANOTHER.get(table, ()):
            other = self._column(of, column, key)
            if other:
                return f"of {self._name(_OF[column], str(other))}"
        called = next((name for name in _NAMES if name in of.c), None)
        value = self._column(of, called, key) if called else None
        return reference_of(key) if value is None else str(value)

    def _column(self, table: Table, name: str, key: UUID) -> Any:
        return self.session.scalar(select(table.c[name]).where(table.c.id == key))


def field_words(name: str) -> str:
    """A field as people call it, with its unit."""
    if name in _CALLED:
        return _CALLED[name]
    unit = next((ending for ending in _UNITS if name.endswith(ending)), "")
    plain = name.removesuffix(unit).removesuffix("_id").removesuffix("_utc").replace("_", " ")
    return plain + _UNITS.get(unit, "")


def _referred(kind: RecordKind, name: str) -> str:
    """The table to which a key of a record refers."""
    for part in kind.tables:
        column = next((c for c, attribute in kind.columns[part.name].items() if attribute == name), None)
        for foreign in part.c[column].foreign_keys if column else ():
            return str(foreign.column.table.name)
    return part.name
