"""Which keys were null in an answer, each by the record in its schema that it is a key of."""

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from tests.cli.answers.held import schema_types, schemas

Field = tuple[str, str]


@cache
def that_may_be_null() -> dict[Field, str]:
    """Each key of each record whose value may be null, or hold null, with what is said of it."""
    return {
        (record, name): value.get("description", "")
        for schema in schemas().values()
        for record, told in schema.get("$defs", {}).items()
        for name, value in told.get("properties", {}).items()
        if schema_types.may_be_null(value) or schema_types.may_hold_null(value)
    }


def nulls_in(command: str, document: Any) -> set[Field]:
    """The keys that are null in a command's answer, or hold null outside of records of their own."""
    whole = schemas()[command]
    return set(_nulls(whole, whole.get("$defs", {}), document, None))


def _nulls(
    schema: Mapping[str, Any], named: Mapping[str, Any], value: Any, field: Field | None
) -> Iterator[Field]:
    if value is None:
        if field:
            yield field
        return
    record = schema.get("$ref", "").rpartition("/")[2]
    schema = named.get(record, schema)
    if "anyOf" in schema:
        yield from _nulls(_alternative(schema["anyOf"], named, value), named, value, field)
    elif isinstance(value, dict):
        for key, inner in value.items():
            told = schema.get("properties", {}).get(key)
            if told is not None:
                yield from _nulls(told, named, inner, (record, key))
            elif isinstance(schema.get("additionalProperties"), dict):
                yield from _nulls(schema["additionalProperties"], named, inner, field)
    elif isinstance(value, list):
        for place, inner in enumerate(value):
            parts = schema.get("prefixItems")
            yield from _nulls(parts[place] if parts else schema.get("items", {}), named, inner, field)


def _alternative(several: list[dict[str, Any]], named: Mapping[str, Any], value: Any) -> dict[str, Any]:
    """The one of several schemas that the value is of."""
    from jsonschema import Draft202012Validator

    fitting = [one for one in several if one.get("type") != "null"]
    if len(fitting) > 1:
        fitting = [one for one in fitting if Draft202012Validator({**one, "$defs": named}).is_valid(value)]
    return fitting[0]
