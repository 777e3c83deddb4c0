"""Dates and times in cells, in the ways people write them.

A whole column of dates is read in one order, so that 3/4/2026 means the same in each row: the order that every date of
the column allows. Where both are possible, the person is asked.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from enum import StrEnum

from obslog.exchange.spreadsheets.grid import BadCell, Cell, cell_text

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ]\d\d:\d\d(?::\d\d)?)?$")
_TWO_FIRST = re.compile(r"(\d{1,2})[-/. ](\d{1,2})[-/. ](\d{4}|\d{2})$")
_NAMED = re.compile(
    r"(?:(\d{1,2})(?:st|nd|rd|th|\.)?[ -]+([a-z]{3,9})\.?|([a-z]{3,9})\.? +(\d{1,2})(?:st|nd|rd|th)?,?)"
    r"[ -]+(\d{4}|\d{2})$"
)
_YEAR_ALONE = re.compile(r"(?:19|20)\d{2}$")
_CLOCK = re.compile(
    r"(\d{1,2})(?:[:.h](\d{2})(?:[:.](\d{2})(\.\d{1,6})?)?)? ?(am|pm)? ?(z|ut|utc|gmt)?$", re.IGNORECASE
)


class DateOrder(StrEnum):
    """Whether the day or the month stands first in 3/4/2026."""

    DAY_FIRST = "day-first"
    MONTH_FIRST = "month-first"


@dataclass(frozen=True, slots=True)
class CellReading:
    """How the cells of a sheet are read: the order of its dates, and the day after which no date is past.

    Amounts of money are in the `currency`; None where the club has named none.
    """

    today: date
    order: DateOrder | None = None
    currency: str | None = None


def date_order(cells: Iterable[Cell]) -> DateOrder | None:
    """The order in which a column writes its dates; None where none of them tells. Raises BadCell where two do."""
    told: dict[DateOrder, str] = {}
    for cell in cells:
        found = _TWO_FIRST.match(cell.strip()) if isinstance(cell, str) else None
        if found is None:
            continue
        first, second = int(found[1]), int(found[2])
        if first > 12 >= second:
            told.setdefault(DateOrder.DAY_FIRST, found[0])
        elif second > 12 >= first:
            told.setdefault(DateOrder.MONTH_FIRST, found[0])
    if len(told) == 2:
        day_first, month_first = told[DateOrder.DAY_FIRST], told[DateOrder.MONTH_FIRST]
        raise BadCell(
            f"{day_first!r} has the day first, {month_first!r} the month.",
            "Write one of them like 2026-03-02.",
        )
    return next(iter(told), None)


def read_day(cell: Cell, reading: CellReading) -> date:
    """The day that the cell says. Raises BadCell, also for one that may be two."""
    if isinstance(cell, date):
        return cell
    text = " ".join(cell_text(cell).split())
    parts = _parts_of_date(text, reading)
    try:
        return date(*parts)
    except ValueError as error:
        raise BadCell(f"{text[:40]!r} is not a day of the calendar.", "Write it like 2026-03-02.") from error


def read_past_day(cell: Cell, reading: CellReading) -> date:
    """The same of a day that cannot be to come."""
    day = read_day(cell, reading)
    if day > reading.today:
        raise BadCell(f"{day} has not come yet.", "Check the year, and this computer's clock.")
    return day


def read_time(cell: Cell) -> datetime | time:
    """A time of day, or an instant with its date; a universal time has its zone, a local one none. Raises BadCell."""
    text = " ".join(cell_text(cell).split())
    if (found := _CLOCK.match(text)) and (found[2] or found[5]):
        return _clock_time(text, found)
    try:
        instant = datetime.fromisoformat(re.sub(r" ?(?:ut|utc|gmt)$", "Z", text, flags=re.IGNORECASE))
    except ValueError:
        instant = None
    if instant is None or len(text) < len("2026-03-02 21"):
        raise BadCell(f"{text[:40]!r} is not a time.", "Write it like 21:40, 20:40Z or 2026-03-02 21:40.")
    try:
        return instant if instant.tzinfo is None else instant.astimezone(UTC)
    except OverflowError as error:
        raise BadCell(f"{text[:40]!r} is not a time of our days.", "Check the year.") from error


def _clock_time(text: str, found: re.Match[str]) -> time:
    hour = int(found[1])
    if half := found[5]:
        hour = hour % 12 + (12 if half.casefold() == "pm" else 0) if 1 <= hour <= 12 else 99
    try:
        return time(
            hour,
            int(found[2] or 0),
            int(found[3] or 0),
            int((found[4] or ".")[1:].ljust(6, "0")),
            tzinfo=UTC if found[6] else None,
        )
    except ValueError as error:
        raise BadCell(
            f"{text[:40]!r} is not a time of the clock.", "Write it like 21:40 or 20:40Z."
        ) from error


def _parts_of_date(text: str, reading: CellReading) -> tuple[int, int, int]:
    if found := _ISO.match(text):
        return int(found[1]), int(found[2]), int(found[3])
    if found := _NAMED.match(text.casefold()):
        day, month = (found[1], found[2]) if found[1] else (found[4], found[3])
        if month[:3] in _MONTHS:
            return _year(found[5], reading), _MONTHS.index(month[:3]) + 1, int(day)
    if found := _TWO_FIRST.match(text):
        first, second, year = int(found[1]), int(found[2]), _year(found[3], reading)
        if reading.order is DateOrder.DAY_FIRST or first > 12:
            return year, second, first
        if reading.order is DateOrder.MONTH_FIRST or second > 12 or first == second:
            return year, first, second
        raise BadCell(
            f"{text!r} may be {first} {_month(second)} or {second} {_month(first)}.",
            "Say which: --dates day-first, or --dates month-first.",
        )
    if _YEAR_ALONE.match(text):
        raise BadCell(
            f"{text!r} is a year and no day.",
            f"Write a day of it, like {text}-03-02, or leave the cell blank.",
        )
    raise BadCell(f"{text[:40]!r} is not a date.", "Write it like 2026-03-02.")


def _month(number: int) -> str:
    return _MONTHS[number - 1].title()


def _year(text: str, reading: CellReading) -> int:
    """A year of two figures is the last such year that lies no more than ten years ahead."""
    if len(text) == 4:
        return int(text)
    year = reading.today.year // 100 * 100 + int(text)
    return year if year <= reading.today.year + 10 else year - 100
