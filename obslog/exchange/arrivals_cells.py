"""What the cells of an arrivals sheet may hold: the shape of each column, checked by pydantic."""

from typing import Annotated, Any, Required, cast

from pydantic import Field, StringConstraints, TypeAdapter, ValidationError, with_config
from typing_extensions import TypedDict  # pydantic asks for this one below Python 3.12

from obslog.exchange.arrivals_rows import Fault, SheetRow
from obslog.vocabulary import Landing, PierSide, Role

# No control characters, which no keyboard types; a note may have its line ends and tabs.
Name = Annotated[str, StringConstraints(min_length=1, max_length=200, pattern=r"^[^\x00-\x1f\x7f-\x9f]*$")]
Note = Annotated[str, StringConstraints(max_length=4000, pattern=r"^[^\x00-\x08\x0b-\x1f\x7f-\x9f]*$")]
Offset = Annotated[float, Field(ge=-10800, le=10800, allow_inf_nan=False)]


@with_config(use_enum_values=True)
class CheckedRow(TypedDict, total=False):
    """A SheetRow with what each cell may hold."""

    line: Required[int]
    night: Required[Annotated[str, StringConstraints(pattern=r"^\d{4}-\d\d-\d\d$")]]
    setup: Annotated[int, Field(ge=1, le=99)]
    site: Required[Name]
    observer: Name
    mount: Required[Name]
    tube: Name
    utc: Annotated[
        str, StringConstraints(pattern=r"^\d{4}-\d\d-\d\d[T ]\d\d:\d\d(:\d\d(\.\d{1,6})?)?(Z|[+-]\d\d:\d\d)$")
    ]
    local: Annotated[str, StringConstraints(pattern=r"^\d\d:\d\d(:\d\d)?$")]
    role: Required[Role]
    target: Required[Name]
    ra_hours: Annotated[float, Field(ge=0, lt=24, allow_inf_nan=False)]
    dec_deg: Annotated[float, Field(ge=-90, le=90, allow_inf_nan=False)]
    pier_side: PierSide
    offset_east_arcmin: Offset
    offset_north_arcmin: Offset
    landing: Landing
    field_arcmin: Annotated[float, Field(gt=0, le=10800, allow_inf_nan=False)]
    centring_arcmin: Annotated[float, Field(ge=0, le=10800, allow_inf_nan=False)]
    note: Note


_PAIRS = (("ra_hours", "dec_deg"), ("offset_east_arcmin", "offset_north_arcmin"))
_EXAMPLES = {"night": "2026-03-02", "utc": "2026-03-02T20:41:00Z", "local": "20:41"}
_ROWS = TypeAdapter(list[CheckedRow])


def checked_rows(cells: list[dict[str, Any]], faults: list[Fault]) -> list[SheetRow]:
    """The rows whose cells are all in order, with their values read; every other cell becomes a fault."""
    try:
        rows = cast(list[SheetRow], _ROWS.validate_python(cells))
    except ValidationError as error:
        bad: set[int] = set()
        for detail in error.errors(include_url=False, include_context=True):
            index, column = cast(tuple[int, str], detail["loc"][:2])
            bad.add(index)
            faults.append(Fault(cast(int, cells[index]["line"]), column, _reason(cast(Any, detail), column)))
        good = [row for index, row in enumerate(cells) if index not in bad]
        rows = cast(list[SheetRow], _ROWS.validate_python(good))
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
        return f"{str(given)[:40]!r} has signs that cannot be printed."
    if kind == "string_pattern_mismatch":
        return f"{given!r} is not written like {_EXAMPLES[column]}."
    if kind in ("float_parsing", "int_parsing", "int_from_float", "finite_number"):
        return f"{given!r} is not a {'whole' if kind.startswith('int') else 'finite'} number."
    if kind == "enum":
        return f"{given!r} is none of {context['expected'].replace(' or ', ', ')}."
    if kind in limits:
        return f"{given!r} must be {limits[kind].format(**context)}."
    return f"{str(given)[:40]!r}: {detail['msg'][0].lower()}{detail['msg'][1:]}."
