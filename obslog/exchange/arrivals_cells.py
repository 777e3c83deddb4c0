"""The cells of an arrivals sheet, checked by pydantic against what the columns may hold."""

from enum import StrEnum
from typing import Annotated, Any, NotRequired, Required, cast

from pydantic import Field, StringConstraints, TypeAdapter, ValidationError, with_config
from typing_extensions import TypedDict  # pydantic asks for this one below Python 3.12

from obslog.exchange.arrivals_rows import RULES, CellPattern, Fault, SheetRow
from obslog.fields import NumberField, TextField

# What obslog.fields calls unusable, for pydantic, whose texts cannot hold half a character.
_USABLE_LINE, _USABLE_TEXT = r"^[^\x00-\x1f\x7f-\x9f]*$", r"^[^\x00-\x08\x0b-\x1f\x7f-\x9f]*$"


def _cell(column: str) -> Any:
    """The type of a column's cell, with its rule in pydantic's words."""
    rule = RULES[column]
    if isinstance(rule, NumberField):
        number = int if rule.whole else float
        limits = Field(ge=rule.low, le=rule.high, allow_inf_nan=None if rule.whole else False)
        cell: Any = Annotated[number, limits]
    elif isinstance(rule, TextField):
        pattern = _USABLE_LINE if rule.one_line else _USABLE_TEXT
        cell = Annotated[str, StringConstraints(min_length=1, max_length=rule.longest, pattern=pattern)]
    elif isinstance(rule, CellPattern):
        cell = Annotated[str, StringConstraints(pattern=rule.pattern)]
    else:
        cell = cast(type[StrEnum], rule)
    return Required[cell] if column in SheetRow.__required_keys__ else NotRequired[cell]


_PAIRS = (("ra_hours", "dec_deg"), ("offset_east_arcmin", "offset_north_arcmin"))
_EXAMPLES = {column: rule.example for column, rule in RULES.items() if isinstance(rule, CellPattern)}
_CELLS: Any = {"line": Required[int], **{column: _cell(column) for column in RULES}}
_CHECKED: Any = with_config(use_enum_values=True)(TypedDict("SheetRow", _CELLS))  # type: ignore[operator]
_ROWS: TypeAdapter[list[SheetRow]] = TypeAdapter(list[_CHECKED])


def checked_rows(cells: list[dict[str, Any]], faults: list[Fault]) -> list[SheetRow]:
    """The rows whose cells are all in order, with their values read; every other cell becomes a fault."""
    try:
        rows = _ROWS.validate_python(cells)
    except ValidationError as error:
        bad: set[int] = set()
        for detail in error.errors(include_url=False, include_context=True):
            index, column = cast(tuple[int, str], detail["loc"][:2])
            bad.add(index)
            faults.append(Fault(cast(int, cells[index]["line"]), column, _reason(cast(Any, detail), column)))
        good = [row for index, row in enumerate(cells) if index not in bad]
        rows = _ROWS.validate_python(good)
    return [row for row in rows if _pairs_are_whole(row, faults)]


def _pairs_are_whole(row: SheetRow, faults: list[Fault]) -> bool:
    whole = True
    for first, second in _PAIRS:
        if (first in row) != (second in row):
            lone, missing = (first, second) if first in row else (second, first)
            faults.append(
                Fault(row["line"], missing, f"is blank, but {lone} is given; give both or neither.")
            )
            whole = False
    return whole


def _reason(detail: dict[str, Any], column: str) -> str:
    """The reason in plain words; what pydantic says, where it has one that we do not."""
    given, context = detail["input"], detail.get("ctx", {})
    limits = {
        "greater_than_equal": "at least {ge:g}",
        "greater_than": "more than {gt:g}",
        "less_than_equal": "at most {le:g}",
        "less_than": "less than {lt:g}",
    }
    kind = detail["type"]
    if kind == "missing":
        return "is blank, but it is needed."
    if kind == "string_pattern_mismatch" and column not in _EXAMPLES:
        return f"{str(given)[:40]!r} has characters that cannot be printed."
    if kind == "string_pattern_mismatch":
        return f"{given!r} is not written like {_EXAMPLES[column]}."
    if kind in ("float_parsing", "int_parsing", "int_from_float", "finite_number"):
        return f"{given!r} is not a {'whole' if kind.startswith('int') else 'finite'} number."
    if kind == "enum":
        return f"{given!r} is none of {context['expected'].replace(' or ', ', ')}."
    if kind in limits:
        return f"{given!r} must be {limits[kind].format(**context)}."
    return f"{str(given)[:40]!r}: {detail['msg'][0].lower()}{detail['msg'][1:]}."
