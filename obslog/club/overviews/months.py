"""Nights counted month by month."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from obslog.times import months_later


@dataclass(frozen=True, slots=True)
class MonthCount:
    """A month by its first day, and how many nights of it are on record."""

    month: date
    nights: int


def by_month(nights: Iterable[date], first: date, last: date) -> list[MonthCount]:
    """Every month from that of the first day to that of the last, also those without a night."""
    counts = Counter(night.replace(day=1) for night in nights if first <= night <= last)
    month, found = first.replace(day=1), []
    while month <= last:
        found.append(MonthCount(month, counts[month]))
        month = months_later(month, 1)
    return found
