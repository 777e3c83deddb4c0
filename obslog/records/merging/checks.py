"""What came from elsewhere is checked as what is typed, a column at a time; one value that cannot be is refused.

What may stand in a column is read from the CHECKs of its table, which are made from `obslog/fields.py`.
"""

import dataclasses
from collections.abc import Callable, Iterable, Sequence
from datetime import date, datetime
from functools import cache
from typing import Any
from uuid import UUID

from sqlalchemy import Boolean, CheckConstraint, ColumnElement, Double, Float, Integer
from sqlalchemy.orm import Mapper

from obslog.errors import ObslogError, WrongInput
from obslog.fields import NumberField, TextField
from obslog.horizon import read_horizon
from obslog.records.merging.kinds import Kind
from obslog.records.tables.base import HOLDS
from obslog.records.tables.column_types import Key, LocalDate, UtcTime, Word, YesNo, stored_utc
from obslog.times import zone_named

ANY_TEXT = TextField("The text", 20_000)
MADE_ANEW = frozenset({"name_key", "search_text"})
MOST_SHOWN = 40
MOST_EXACT = 2**53  # the largest whole number up to which a float holds each
_READERS: dict[tuple[str, str], Callable[[str], object]] = {
    ("Site", "zone"): zone_named,
    ("Site", "horizon"): read_horizon,
}


class ValueRefused(WrongInput):
    """A value in a bundle that nobody could have typed."""

    def __init__(self, kind: str, record_id: str, column: str, value: object, reason: str) -> None:
        shown = repr(value)
        shown = shown if len(shown) <= MOST_SHOWN else f"{shown[:MOST_SHOWN]}..."
        super().__init__(
            f"{kind_words(kind)} {record_id[-6:]} cannot be: {column.replace('_', ' ')} {shown} {reason}.",
            "Nothing of the bundle was taken in. Ask whoever wrote it for a new one.",
        )


def kind_words(kind: str) -> str:
    """The kind as a sentence begins with it: `Sky reading`."""
    words = "".join(f" {letter.lower()}" if letter.isupper() else letter for letter in kind).strip()
    return words[:1].upper() + words[1:]


def check_records(
    kind: Kind, columns: Sequence[str], ids: Sequence[str], rows: Sequence[Sequence[Any]]
) -> None:
    """Check images of records of one kind, given by the same columns. Raises ValueRefused."""
    known = _columns(kind)
    for name in known.keys() - set(columns):
        if not known[name].can_be_missing:
            raise ValueRefused(kind.name, ids[0] if ids else "", name, None, "is not given")
    for name, values in zip(columns, zip(*rows, strict=True), strict=True):
        if name == "id":
            if (
                wrong := next(((i, v) for i, v in zip(ids, values, strict=True) if i != v), None)
            ) is not None:
                raise ValueRefused(kind.name, wrong[0], name, wrong[1], "is not its own")
        elif name in known and name not in MADE_ANEW:
            _check_column(kind, known[name], ids, values)


def defaults(kind: Kind) -> dict[str, Any]:
    """What a column holds that an image does not give, as it is stored: it came with a later program."""
    return {name: column.default for name, column in _columns(kind).items()}


def _check_column(kind: Kind, column: "_Column", ids: Sequence[str], values: Sequence[Any]) -> None:
    try:
        reasons = {value: column.reason(value) for value in set(values)}
    except TypeError:  # a list or an object, of which no set can be made
        reasons = {}
    if reasons and not any(reasons.values()) and set(map(type, values)) <= column.types:
        return
    for record_id, value in zip(ids, values, strict=True):
        if reason := column.reason(value):
            raise ValueRefused(kind.name, record_id, column.name, value, reason)


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class _Column:
    name: str
    types: frozenset[type]
    can_be_none: bool
    can_be_missing: bool
    default: Any
    of_type: Callable[[Any], str | None]

    def reason(self, value: Any) -> str | None:
        """Why the value cannot stand here; None where it can."""
        if value is None:
            return None if self.can_be_none else "is not given"
        if type(value) not in self.types:
            return "is of another type"
        return self.of_type(value)


@cache
def _columns_of(mapper: Mapper[Any], kind: str) -> dict[str, _Column]:
    found: dict[str, _Column] = {}
    for attribute in mapper.column_attrs:
        column = attribute.columns[0]
        checked = dict(
            rule.info[HOLDS]
            for table in mapper.tables
            for rule in table.constraints  # type: ignore[attr-defined]
            if isinstance(rule, CheckConstraint) and HOLDS in rule.info
        )
        types, of_type = _of_type(kind, column, attribute.key, checked.get(column.name), mapper)
        default = _plain(getattr(column.default, "arg", None))
        if mapper.polymorphic_on is not None and attribute.key == mapper.polymorphic_on.key:
            default = mapper.polymorphic_identity
        found[attribute.key] = _Column(
            name=attribute.key,
            types=types,
            can_be_none=bool(column.nullable),
            can_be_missing=bool(column.nullable) or default is not None or attribute.key in MADE_ANEW,
            default=default,
            of_type=of_type,
        )
    return found


def _columns(kind: Kind) -> dict[str, _Column]:
    return _columns_of(kind.mapper, kind.name)


def _plain(value: Any) -> Any:
    if isinstance(value, bool):
        return int(value)
    return str(value) if isinstance(value, str) else value if isinstance(value, (int, float)) else None


def _of_type(
    kind: str, column: ColumnElement[Any], name: str, field: Any, mapper: Mapper[Any]
) -> tuple[frozenset[type], Callable[[Any], str | None]]:
    numbers: frozenset[type] = frozenset({int, float})
    text: frozenset[type] = frozenset({str})
    match column.type:
        case Key():
            return text, _no_key
        case UtcTime():
            return text, _no_instant
        case LocalDate():
            return text, _no_day
        case YesNo() | Boolean():
            return frozenset({int}), lambda value: None if value in (0, 1) else "is neither yes nor no"
        case Integer():
            return frozenset({int}), _outside(field or NumberField(name, -(2**31), 2**31 - 1))
        case Double() | Float():
            return numbers, _outside(field or NumberField(name, -1e300, 1e300))
        case Word():
            words = field if isinstance(field, tuple) else tuple(map(str, column.type.vocabulary))
            return text, _not_among(words)
    if isinstance(field, tuple):
        own = mapper.polymorphic_identity if mapper.polymorphic_on is not None else None
        return text, _not_among((own,) if name == "kind" and own else field)
    return text, _no_text(field if isinstance(field, TextField) else ANY_TEXT, _READERS.get((kind, name)))


def _outside(field: NumberField) -> Callable[[Any], str | None]:
    def reason(value: Any) -> str | None:
        exact = not isinstance(value, int) or abs(value) <= MOST_EXACT
        if not exact or not field.holds(value):  # what is no number is not held
            return f"is not between {field.low:g} and {field.high:g}"
        return None

    return reason


def _not_among(words: Iterable[str]) -> Callable[[Any], str | None]:
    known = frozenset(words)
    return lambda value: None if value in known else "is no word of ours"


def _no_text(field: TextField, read: Callable[[str], object] | None) -> Callable[[Any], str | None]:
    def reason(value: Any) -> str | None:
        try:
            field.checked(value) if field is not ANY_TEXT or value.strip() else None
            if len(value) > field.longest:
                return f"is longer than {field.longest} characters"
            if read is not None:
                read(value)
        except ObslogError as error:
            return f"is refused ({error.message.rstrip('.')})"
        return None

    return reason


def _no_key(value: Any) -> str | None:
    try:
        return None if str(UUID(value)) == value else "is no key"
    except ValueError:
        return "is no key"


def _no_instant(value: Any) -> str | None:
    try:
        return None if stored_utc(datetime.fromisoformat(value)) == value else "is no instant"
    except ValueError:
        return "is no instant"


def _no_day(value: Any) -> str | None:
    try:
        return None if date.fromisoformat(value).isoformat() == value else "is no day"
    except ValueError:
        return "is no day"
