"""What comes of each row of a sheet, gathered before anything is written."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from typing import Any
from uuid import UUID

from sqlalchemy import inspect
from sqlalchemy.orm import Session

from obslog.club.register.club_day import day_in
from obslog.errors import ObslogError
from obslog.exchange.arrivals_rows import Fault
from obslog.exchange.spreadsheets.reading import ValueRow
from obslog.records.history.noted_rows import insert_noted
from obslog.records.tables.base import Base
from obslog.records.tables.keys import new_keys
from obslog.records.tables.schema import metadata

_ORDER: dict[Any, int] = {table: place for place, table in enumerate(metadata.sorted_tables)}
_KEYS_AT_ONCE = 256


class Outcome(StrEnum):
    """What a row does to the record that it is about."""

    NEW = "new"
    CHANGED = "changed"
    SAME = "same"


_OUTWEIGHS = {Outcome.SAME: 0, Outcome.CHANGED: 1, Outcome.NEW: 2}


@dataclass(frozen=True, slots=True)
class RowOutcome:
    """A row of the sheet, what it is about, and in words what it changes; empty where it changes nothing."""

    line: int
    what: str
    outcome: Outcome
    words: str = ""


@dataclass(slots=True, kw_only=True)
class Intake:
    """A sheet being taken in: the rows, their faults, what comes of each, and what will be written.

    Records that are new are written many at a time, those that others point to before these.
    """

    session: Session
    rows: Sequence[ValueRow]
    now: datetime
    today: date = field(init=False)
    faults: list[Fault] = field(default_factory=list)
    outcomes: list[RowOutcome] = field(default_factory=list)
    _of_records: dict[UUID, Outcome] = field(default_factory=dict)
    _of_rows: Counter[Outcome] = field(default_factory=Counter)
    _new: dict[type[Base], list[dict[str, Any]]] = field(default_factory=dict)
    _fresh: dict[UUID, dict[str, Any]] = field(default_factory=dict)
    _keys: list[UUID] = field(default_factory=list)
    _changed: list[tuple[type[Base], UUID, Mapping[str, Any]]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.today = day_in(self.session, self.now)

    def add(self, kind: type[Base], *, key: UUID | None = None, **columns: Any) -> UUID:
        """A new record, under a key of its own where none is told; of one kind, all are given with the same columns."""
        key = key or self._next_key()
        record = self._fresh[key] = {"id": key, **columns}
        self._new.setdefault(kind, []).append(record)
        return key

    def _next_key(self) -> UUID:
        """Keys are made some hundred at once, which costs less; in order, as the records come."""
        if not self._keys:
            self._keys = new_keys(_KEYS_AT_ONCE)[::-1]
        return self._keys.pop()

    def change(self, kind: type[Base], key: UUID, values: Mapping[str, Any]) -> None:
        """Other values for a record, whether on record already or new in this sheet."""
        if not values:
            return
        if key in self._fresh:
            self._fresh[key].update(values)
            return
        self._changed.append((kind, key, values))

    def told(
        self, line: int, what: str, outcome: Outcome, words: str = "", *, record: UUID | None = None
    ) -> None:
        """What comes of a row; `record` where several rows may be about one."""
        self.outcomes.append(RowOutcome(line, what, outcome, words))
        if record is None:
            self._of_rows[outcome] += 1
        elif _OUTWEIGHS[outcome] > _OUTWEIGHS[self._of_records.get(record, Outcome.SAME)]:
            self._of_records[record] = outcome
        else:
            self._of_records.setdefault(record, outcome)

    def counts(self) -> Counter[Outcome]:
        """How many records are new, changed and the same, each counted once."""
        return self._of_rows + Counter(self._of_records.values())

    def fault(self, line: int, column: str, reason: str) -> None:
        self.faults.append(Fault(line, column, reason))

    def refuse(self, line: int, column: str, error: ObslogError) -> None:
        """An error of the club's as a fault of a row."""
        self.fault(line, column, f"{error.message} {error.hint}")

    def write(self) -> None:
        for kind, key, values in self._changed:
            record = self.session.get(kind, key)
            for column, value in values.items():
                setattr(record, column, value)
        self.session.flush()
        for kind, records in sorted(self._new.items(), key=lambda new: _place_of(new[0])):
            insert_noted(self.session, kind, records)


def _place_of(kind: type[Base]) -> int:
    """Where the kind stands among all, so that what others point to comes before them."""
    return _ORDER[inspect(kind).base_mapper.local_table]


def differences(on_record: Mapping[str, Any], told: Mapping[str, Any]) -> dict[str, Any]:
    """What a row says otherwise than the record; a blank cell says nothing."""
    return {
        column: value
        for column, value in told.items()
        if value is not None and on_record.get(column) != value
    }


def change_words(on_record: Mapping[str, Any], changes: Mapping[str, Any]) -> str:
    """The changes in words: `value 400 to 600, place Shelf A`."""
    parts = []
    for column, value in changes.items():
        before = on_record.get(column)
        parts.append(
            f"{column} {_plain(value)}" if before is None else f"{column} {_plain(before)} to {_plain(value)}"
        )
    return ", ".join(parts)


def _plain(value: Any) -> str:
    if isinstance(value, float):
        return f"{value:g}" if value.is_integer() else str(value)
    return str(value)
