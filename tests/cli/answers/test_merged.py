"""What a type looks like as JSON: each against a schema written by hand."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Any, Literal, TypedDict
from uuid import UUID

import pytest

from obslog.cli.answers.merged import Merged
from obslog.cli.look.shown_values import plain
from obslog.values import Interval
from tests.cli.answers.held import schema_types


class Side(StrEnum):
    EAST = "east"
    WEST = "west"


@dataclass(frozen=True)
class Star:
    """A star; None where nobody measured it."""

    name: str
    offset_arcmin: float | None
    near: "Sequence[Star]" = ()


class Tube(TypedDict, total=False):
    """A tube."""

    length_mm: float


def schema(kind: Any) -> tuple[dict[str, Any], dict[str, Any]]:
    schemas = schema_types.Schemas()
    return schemas.of(kind), schemas.definitions


NUMBER = {"type": ["number", "null"]}


@pytest.mark.parametrize(
    ("kind", "told"),
    [
        (str, {"type": "string"}),
        (bool, {"type": "boolean"}),
        (int | None, {"type": ["integer", "null"]}),
        (float, NUMBER),
        (datetime, {"type": "string", "format": "date-time"}),
        (date, {"type": "string", "format": "date"}),
        (UUID, {"type": "string", "format": "uuid"}),
        (Side, {"type": "string", "enum": ["east", "west"]}),
        (Literal["a", "b"], {"type": "string", "enum": ["a", "b"]}),
        (Literal["east", Side.EAST, "up"], {"type": "string", "enum": ["east", "up"]}),
        (Literal[1, 2], {"enum": [1, 2]}),
        (list[str], {"type": "array", "items": {"type": "string"}}),
        (Sequence[int], {"type": "array", "items": {"type": "integer"}}),
        (tuple[str, ...], {"type": "array", "items": {"type": "string"}}),
        (Mapping[str, int], {"type": "object", "additionalProperties": {"type": "integer"}}),
        (
            Mapping[Side, int],
            {
                "type": "object",
                "propertyNames": {"enum": ["east", "west"]},
                "additionalProperties": {"type": "integer"},
            },
        ),
        ([str], {"type": "array", "items": {"type": "string"}}),
        ((str, int), {"type": ["string", "integer"]}),
        (
            Side | None,
            {"anyOf": [{"type": "string", "enum": ["east", "west"]}, {"type": "null"}]},
        ),
        (
            tuple[str, int],
            {
                "type": "array",
                "prefixItems": [{"type": "string"}, {"type": "integer"}],
                "minItems": 2,
                "maxItems": 2,
            },
        ),
    ],
)
def test_a_type_has_the_schema_of_what_it_becomes(kind: Any, told: dict[str, Any]) -> None:
    assert schema(kind) == (told, {})


def test_a_record_is_an_object_with_all_its_keys_and_may_hold_its_own_kind() -> None:
    reference, definitions = schema(Star)
    assert reference == {"$ref": "#/$defs/Star"}
    assert definitions["Star"] == {
        "type": "object",
        "description": "A star; null where nobody measured it.",
        "properties": {
            "name": {"type": "string"},
            "offset_arcmin": {**NUMBER, "description": "In arcminutes."},
            "near": {"type": "array", "items": {"$ref": "#/$defs/Star"}},
        },
        "required": ["name", "offset_arcmin", "near"],
    }


def test_keys_that_may_be_missing_are_not_required() -> None:
    assert schema(Tube)[1]["Tube"]["required"] == []


def test_merged_is_one_object_in_which_the_later_part_tells() -> None:
    _, definitions = schema(Merged("Both", Star, Tube, {"name": int}))
    both = definitions["Both"]
    assert both["required"] == ["name", "offset_arcmin", "near"]
    assert both["properties"]["name"] == {"type": "integer"}
    assert both["properties"]["length_mm"]["description"] == "In millimetres."


def test_an_interval_is_what_the_program_makes_of_it() -> None:
    _, definitions = schema(Interval)
    assert definitions["Interval"]["required"] == list(plain(Interval(1.0, 0.5, None, 3)))


def test_a_field_that_is_narrower_than_its_type_and_a_text_of_a_certain_form_say_so(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setitem(schema_types.NARROWER, ("Star", "name"), Side | None)
    monkeypatch.setitem(schema_types.PATTERNS, "offset_arcmin", "^a$")
    monkeypatch.setitem(schema_types.PATTERNS, "name", "^a$")
    properties = schema(Star)[1]["Star"]["properties"]
    assert properties["name"] == schema(Side | None)[0], "words of a list need no other form"
    assert properties["offset_arcmin"] == {**NUMBER, "description": "In arcminutes."}, (
        "a number has no letters"
    )
    monkeypatch.delitem(schema_types.NARROWER, ("Star", "name"))
    assert schema(Star)[1]["Star"]["properties"]["name"] == {"type": "string", "pattern": "^a$"}


@dataclass(frozen=True)
class Seen:
    """What was seen."""

    size_deg: float | None
    note: str | None
    stars: list[float]
    by_name: dict[str, float]
    from_to: tuple[float, float]
    or_none: list[float | None]
    name: str


def test_it_is_said_when_a_value_or_what_it_holds_is_null(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(
        schema_types.WHEN_NULL, "Seen", {"size_deg": "by day", "stars": "by day", "name": "never"}
    )
    monkeypatch.setitem(schema_types.IN_ALL, "note", "of who wrote nothing")
    told = schema(Seen)[1]["Seen"]["properties"]
    assert {name: value.get("description") for name, value in told.items()} == {
        "size_deg": "In degrees; null by day.",
        "note": "Null of who wrote nothing.",
        "stars": "Holds null by day.",
        "by_name": None,
        "from_to": None,
        "or_none": None,
        "name": None,
    }


def test_numbers_that_are_always_finite_are_never_null_in_a_list_either(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    names = ("stars", "by_name", "from_to")
    monkeypatch.setattr(schema_types, "FINITE", {("Seen", name) for name in names})
    told = schema(Seen)[1]["Seen"]["properties"]
    assert not any(schema_types.may_hold_null(told[name]) for name in names)
    assert told["by_name"]["additionalProperties"] == {"type": "number"}
    for name in ("size_deg", "or_none", "name"):
        monkeypatch.setattr(schema_types, "FINITE", {("Seen", name)})
        with pytest.raises(schema_types.NoSchema):
            schema(Seen)


@pytest.mark.parametrize("kind", [Any, object, dict])
def test_a_type_that_says_nothing_is_refused(kind: Any) -> None:
    with pytest.raises(schema_types.NoSchema):
        schema(kind)
