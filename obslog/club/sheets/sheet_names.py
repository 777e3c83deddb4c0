"""The names on a sheet, looked up at once; new ones are made where the person asked for it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Literal, cast

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.register.typed_values import EmptyName, NameMeansNone, checked_name
from obslog.errors import UnknownName, quoted
from obslog.exchange.arrivals_rows import Fault, SheetRow
from obslog.grammar.name_choice import fitting_names
from obslog.records.name_lookup import Named, table_of
from obslog.records.tables.base import name_key
from obslog.records.tables.logbook_tables import Mount, Site
from obslog.vocabulary.hint_options import MOUNT_OPTIONS, SITE_OPTIONS, TUBE_OPTIONS
from obslog.vocabulary.mounts import Controller

NameColumn = Literal["site", "observer", "mount", "tube"]
KIND_OF_COLUMN: dict[NameColumn, str] = {
    "site": "site",
    "observer": "member",
    "mount": "mount",
    "tube": "tube",
}
_STILL_TO_TELL = {
    "site": SITE_OPTIONS,
    "mount": MOUNT_OPTIONS,
    "tube": TUBE_OPTIONS,
}


@dataclass(slots=True, kw_only=True)
class SheetNames:
    """For each column the keys, as text, by the names as the sheet has them; and what is still to be told.

    `go_to_nothing` are mounts without a controller that could have gone to anything.
    """

    keys: dict[NameColumn, dict[str, str]] = field(default_factory=dict)
    zones: dict[str, str | None] = field(default_factory=dict)
    go_to_nothing: set[str] = field(default_factory=set)
    made: list[str] = field(default_factory=list)
    still_to_tell: list[str] = field(default_factory=list)


def look_up_names(
    session: Session, rows: Sequence[SheetRow], faults: list[Fault], *, create: bool
) -> SheetNames:
    """Find every name of the sheet; an unknown one becomes a new record, or a fault of each row that has it."""
    names = SheetNames()
    for column, kind in KIND_OF_COLUMN.items():
        texts = dict.fromkeys(row[column] for row in rows if column in row)
        unknown = _look_up(session, column, kind, texts, names, create=create)
        faults.extend(Fault(r["line"], column, unknown[r[column]]) for r in rows if r.get(column) in unknown)
    session.flush()
    return names


def _look_up(
    session: Session, column: NameColumn, kind: str, texts: Iterable[str], names: SheetNames, *, create: bool
) -> dict[str, str]:
    """Put the records of a column's names into `names`; gives why each of the others is none."""
    records = cast(Iterable[Named], session.scalars(select(table_of(kind))))
    on_record = {record.name_key: record for record in records}
    found, unknown = names.keys.setdefault(column, {}), dict[str, str]()
    for text in texts:
        record = on_record.get(name_key(text))
        if record is None and create:
            record = _made(session, kind, text, unknown, names)
        elif record is None:
            unknown[text] = _unknown_words(kind, text, [known.name for known in on_record.values()])
        if record is None:
            continue
        on_record[record.name_key] = record
        found[text] = str(record.id)
        if isinstance(record, Site):
            names.zones[text] = record.zone
        if isinstance(record, Mount) and record.controller is Controller.NONE:
            names.go_to_nothing.add(text)
    return unknown


def _unknown_words(kind: str, text: str, on_record: Sequence[str]) -> str:
    """Of a name that is not on record; a beginning of one is told from a misspelt one."""
    error = UnknownName(kind, text, on_record)
    begun = fitting_names(text, on_record)
    near = f" Did you mean {' or '.join(error.nearest)}?" if error.nearest else ""
    if begun:
        near = f" In a sheet names are whole: {' or '.join(begun)}."
    return f"{error.message}{near} To make new names: --create"


def _made(session: Session, kind: str, text: str, unknown: dict[str, str], names: SheetNames) -> Named | None:
    try:
        name = checked_name(kind, text)
    except (EmptyName, NameMeansNone) as error:
        unknown[text] = error.message
        return None
    record = table_of(kind)(name=name, name_key=name_key(name))
    session.add(record)
    names.made.append(f"{kind} {name}")
    if kind in _STILL_TO_TELL:
        names.still_to_tell.append(f"obslog {kind} edit {quoted(name)} {_STILL_TO_TELL[kind]}")
    return record
