"""Dates and times as people write them elsewhere, 28/11/2026 and 8pm, in the notation that is read here.

They are not taken as they stand, for a slip would go unseen; whoever typed them is told what to type.
"""

import re
from datetime import date, time

_DAY_MONTH_YEAR = re.compile(r"(\d{1,2})[./ -](\d{1,2})[./ -](\d{4})")
_YEAR_MONTH_DAY = re.compile(r"(\d{4})[./ -](\d{1,2})[./ -](\d{1,2})")
_TWELVE_HOURS = re.compile(r"(\d{1,2})(?:[:.](\d\d))?\s*([ap])\.?m\.?")


def as_date(text: str) -> str | None:
    """`2026-11-28` for 28/11/2026 or 2026/11/28; None where it is none, or the day and the month may change places."""
    if found := _YEAR_MONTH_DAY.fullmatch(text):
        return _iso(*map(int, found.groups()))
    found = _DAY_MONTH_YEAR.fullmatch(text)
    if found is None:
        return None
    first, second, year = map(int, found.groups())
    readings = {_iso(year, second, first), _iso(year, first, second)} - {None}
    return readings.pop() if len(readings) == 1 else None


def as_time(text: str) -> str | None:
    """`20:00` for 8pm, `00:15` for 12.15 a.m.; None where it is none."""
    found = _TWELVE_HOURS.fullmatch(text.casefold())
    if found is None or not 1 <= int(found[1]) <= 12 or int(found[2] or 0) > 59:
        return None
    return f"{time(int(found[1]) % 12 + (12 if found[3] == 'p' else 0), int(found[2] or 0)):%H:%M}"


def _iso(year: int, month: int, day: int) -> str | None:
    try:
        return date(year, month, day).isoformat()
    except ValueError:
        return None
