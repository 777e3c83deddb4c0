"""What a type of the program looks like as JSON: a schema after JSON Schema, draft 2020-12, made from the type itself.

It follows `plain` of `obslog/cli/terminal/screen.py`, which makes the JSON: records are objects, instants are texts of
universal time, a number that is not finite is null.
"""

import ast
import dataclasses
import importlib
import inspect
import re
import sys
import types
import typing
from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date, datetime
from enum import Enum
from functools import cache
from pathlib import Path
from typing import Any
from uuid import UUID

from narrower_types import ANY_VALUE, FINITE, NARROWER, PATTERNS
from when_null import IN_ALL, WHEN_NULL

from obslog.cli.answers.merged import Merged
from obslog.values import Interval

UNITS = {
    "arcmin": "arcminutes",
    "arcsec": "arcseconds",
    "deg": "degrees",
    "hours": "hours",
    "minutes": "minutes",
    "seconds": "seconds",
    "days": "days",
    "months": "months",
    "nights": "nights",
    "mm": "millimetres",
    "m": "metres",
    "kg": "kilograms",
    "volts": "volts",
    "percent": "percent",
    "utc": "universal time",
    "c": "degrees Celsius",
    "mag": "magnitudes",
}
_PLAIN: dict[Any, dict[str, Any]] = {
    str: {"type": "string"},
    int: {"type": "integer"},
    bool: {"type": "boolean"},
    float: {"type": ["number", "null"]},  # what is not finite is null
    None: {"type": "null"},
    type(None): {"type": "null"},
    datetime: {"type": "string", "format": "date-time"},
    date: {"type": "string", "format": "date"},
    UUID: {"type": "string", "format": "uuid"},
    Path: {"type": "string"},
}
_INTERVAL_TOLD = "A value with the ends of the interval in which it lies with 95 percent probability."


class NoSchema(Exception):
    """A type of which nothing can be said, such as `Any`."""


class Schemas:
    """Makes schemas, and keeps those of records under their names, so that each is written once."""

    def __init__(self) -> None:
        self.definitions: dict[str, dict[str, Any]] = {}
        self._named: dict[Any, str] = {}

    def of(self, kind: Any) -> dict[str, Any]:
        """The schema of a type. Raises NoSchema."""
        if isinstance(kind, list):
            return {"type": "array", "items": self.of(kind[0])}
        if isinstance(kind, tuple):
            return self._one_of(kind)
        if isinstance(kind, Merged):
            return self._kept(kind, lambda: self._merged(kind))
        if isinstance(kind, type) and issubclass(kind, Enum):
            return {"type": "string", "enum": [str(member.value) for member in kind]}
        if kind is Interval:
            return self._kept(kind, _interval)
        if dataclasses.is_dataclass(kind) and isinstance(kind, type):
            return self._kept(kind, lambda: self._record(kind, _fields_of(kind)))
        if typing.is_typeddict(kind):
            needed = set(kind.__required_keys__)
            return self._kept(kind, lambda: self._record(kind, hints_of(kind), needed))
        if isinstance(kind, type) and issubclass(kind, tuple) and hasattr(kind, "_fields"):
            return self._tuple(list(hints_of(kind).values()))
        if kind in _PLAIN:
            return dict(_PLAIN[kind])
        return self._made_of_others(kind)

    def _made_of_others(self, kind: Any) -> dict[str, Any]:
        origin, parts = typing.get_origin(kind), typing.get_args(kind)
        if origin in (typing.Annotated, typing.Required, typing.NotRequired, typing.Final):
            return self.of(parts[0])
        if origin is typing.Literal:
            words = list(dict.fromkeys(parts))
            return (
                {"type": "string", "enum": words}
                if all(isinstance(w, str) for w in words)
                else {"enum": words}
            )
        if origin in (typing.Union, types.UnionType):
            return self._one_of(parts)
        if origin is tuple and not (len(parts) == 2 and parts[1] is ...):
            return self._tuple(parts)
        if isinstance(origin, type) and issubclass(origin, Mapping):
            keys = self.of(parts[0])
            named = {"propertyNames": {"enum": keys["enum"]}} if "enum" in keys else {}
            return {"type": "object", **named, "additionalProperties": self.of(parts[1])}
        if isinstance(origin, type) and issubclass(origin, (Sequence, Collection, Iterable)):
            return {"type": "array", "items": self.of(parts[0])}
        raise NoSchema(f"{kind!r}")

    def _tuple(self, parts: Sequence[Any]) -> dict[str, Any]:
        return {
            "type": "array",
            "prefixItems": [self.of(part) for part in parts],
            "minItems": len(parts),
            "maxItems": len(parts),
        }

    def _one_of(self, parts: Sequence[Any]) -> dict[str, Any]:
        found = [self.of(part) for part in parts]
        plain = [one["type"] for one in found if set(one) == {"type"}]
        others = [one for one in found if set(one) != {"type"}]
        names = list(
            dict.fromkeys(name for one in plain for name in ([one] if isinstance(one, str) else one))
        )
        kept = [*others, *([{"type": names if len(names) > 1 else names[0]}] if names else [])]
        return kept[0] if len(kept) == 1 else {"anyOf": kept}

    def _kept(self, kind: Any, make: Any) -> dict[str, Any]:
        if kind not in self._named:
            name = (kind.name if isinstance(kind, Merged) else kind.__name__).lstrip("_")
            if name in self._named.values():
                name = f"{kind.__module__.rpartition('.')[2].title().replace('_', '')}{name}"
            self._named[kind] = name
            self.definitions[name] = {}
            self.definitions[name] = make()
        return {"$ref": f"#/$defs/{self._named[kind]}"}

    def _merged(self, kind: Merged) -> dict[str, Any]:
        """One object with the keys of all parts."""
        properties: dict[str, Any] = {}
        needed: list[str] = []
        for part in kind.parts:
            if isinstance(part, dict):
                found = {"properties": {k: self.of(v) for k, v in part.items()}, "required": list(part)}
            else:
                found = self._object(part, kind.name)
            properties |= found["properties"]
            needed += [name for name in found["required"] if name not in needed]
        return {"type": "object", "properties": properties, "required": needed}

    def _object(self, part: Any, whole: str) -> dict[str, Any]:
        """The object schema of a record that is a part of a whole, without a name of its own."""
        if isinstance(part, Merged):
            return self._merged(part)
        if dataclasses.is_dataclass(part):
            return self._record(part, _fields_of(part), whole=whole)
        return self._record(part, hints_of(part), set(part.__required_keys__), whole)

    def _record(
        self, kind: Any, hints: Mapping[str, Any], needed: set[str] | None = None, whole: str = ""
    ) -> dict[str, Any]:
        properties = {}
        records = (whole, kind.__name__) if whole else (kind.__name__,)
        for name, hint in hints.items():
            try:
                field = (kind.__name__, name)
                schema = {} if field in ANY_VALUE else self.of(NARROWER.get(field, hint))
                if any((record, name) in FINITE for record in records):
                    schema = _never_null(schema, hint)
                properties[name] = _told_of(records, name, _with_pattern(name, schema))
            except NoSchema as error:
                raise NoSchema(f"{kind.__qualname__}.{name}: {error}") from error
        return {
            "type": "object",
            **_told(kind),
            "properties": properties,
            "required": [name for name in hints if needed is None or name in needed],
        }


def _interval() -> dict[str, Any]:
    number = dict(_PLAIN[float])
    ends = {end: _told_of(("Interval",), end, number) for end in ("low", "high")}
    return {
        "type": "object",
        "description": _INTERVAL_TOLD,
        "properties": {"value": {"type": "number"}, **ends},
        "required": ["value", "low", "high"],
    }


def _never_null(schema: dict[str, Any], hint: Any) -> dict[str, Any]:
    """The schema of numbers that are always finite, be they in a list or by their keys.

    Raises NoSchema where the type itself says that they may be null, or has no numbers.
    """
    if type(None) in typing.get_args(hint):
        raise NoSchema(f"said to be finite, and of the type {hint}")
    if schema == _PLAIN[float]:
        return {"type": "number"}
    if "prefixItems" in schema:
        parts = zip(schema["prefixItems"], typing.get_args(hint), strict=True)
        return {**schema, "prefixItems": [_never_null(one, its) for one, its in parts]}
    for within in ("items", "additionalProperties"):
        if isinstance(schema.get(within), dict):
            its = typing.get_args(hint)[-1]  # of keys and values the values
            return {**schema, within: _never_null(schema[within], its)}
    raise NoSchema(f"said to be finite, and of the type {hint}")


def may_be_null(schema: Mapping[str, Any]) -> bool:
    """Whether a value of the schema may itself be null."""
    kind = schema.get("type")
    listed = kind == "null" or (isinstance(kind, list) and "null" in kind)
    return listed or any(may_be_null(one) for one in schema.get("anyOf", ()))


def may_hold_null(schema: Mapping[str, Any]) -> bool:
    """Whether something in a list or beside a key of the value may be null; records say that for themselves."""
    inner = [schema.get("items"), schema.get("additionalProperties"), *schema.get("prefixItems", ())]
    return any(may_be_null(one) or may_hold_null(one) for one in inner if isinstance(one, dict))


def _told(kind: Any) -> dict[str, str]:
    """What the record's docstring says, in one paragraph; nothing where Python wrote it."""
    told = inspect.cleandoc(kind.__doc__ or "")
    if not told or told.startswith((f"{kind.__name__}(", "dict(")):
        return {}
    return {"description": re.sub(r"\b(None|nan)\b", "null", " ".join(told.split()))}


def _with_pattern(name: str, schema: dict[str, Any]) -> dict[str, Any]:
    """The schema with how a text of that name is written; what is no text is not asked."""
    is_text = "string" in (schema.get("type") or ()) and not schema.keys() & {"enum", "format"}
    return {**schema, "pattern": PATTERNS[name]} if name in PATTERNS and is_text else schema


def _told_of(records: Sequence[str], name: str, schema: dict[str, Any]) -> dict[str, Any]:
    """The schema with the unit that the name ends in, and when its value, or what it holds, is null."""
    unit, when = _unit_of(name, schema), when_null(records, name)
    what = "null" if may_be_null(schema) else "holds null" if may_hold_null(schema) else ""
    said = "; ".join([*([f"in {unit}"] if unit else []), *([f"{what} {when}"] if what and when else [])])
    return {**schema, "description": f"{said[0].upper()}{said[1:]}."} if said else schema


def when_null(records: Sequence[str], name: str) -> str | None:
    """What is said of a key of the first of these records that says it; else what holds for all keys of that name."""
    told = (WHEN_NULL.get(record, {}).get(name) for record in records)
    return next(filter(None, told), IN_ALL.get(name))


def _unit_of(name: str, schema: dict[str, Any]) -> str | None:
    words = name.split("_")
    return UNITS.get(words[-1]) if len(words) > 1 and "boolean" not in str(schema.get("type")) else None


def _fields_of(kind: type) -> dict[str, Any]:
    hints = hints_of(kind)
    return {field.name: hints[field.name] for field in dataclasses.fields(kind)}


def hints_of(thing: Any) -> dict[str, Any]:
    """The types that a class or function names, also those that are only imported to check types."""
    if not isinstance(thing, type):
        return typing.get_type_hints(thing, names_of(thing.__module__), include_extras=True)
    found: dict[str, Any] = {}
    for base in reversed(thing.__mro__):
        if base.__module__.startswith("obslog"):
            names = {**names_of(base.__module__), **vars(base)}
            for name, hint in vars(base).get("__annotations__", {}).items():
                given = hint.__forward_arg__ if isinstance(hint, typing.ForwardRef) else hint
                found[name] = _evaluated(given, names)
    return found or typing.get_type_hints(thing, names_of(thing.__module__), include_extras=True)


def _evaluated(hint: Any, names: dict[str, Any]) -> Any:
    holder = types.SimpleNamespace(__annotations__={"hint": hint})
    return typing.get_type_hints(holder, names, names, include_extras=True)["hint"]


@cache
def names_of(module: str) -> dict[str, Any]:
    """All names of a module, those under `if TYPE_CHECKING` too."""
    importlib.import_module(module)
    names = dict(vars(sys.modules[module]))
    for node in ast.parse(inspect.getsource(sys.modules[module])).body:
        if isinstance(node, ast.If) and ast.unparse(node.test).endswith("TYPE_CHECKING"):
            for line in node.body:
                exec(ast.unparse(line), names)  # the program's own imports, and names of types made of them
    return names
