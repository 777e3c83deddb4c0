"""Nights counted month by month."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from obslog.times import months_later


@dataclass(frozen=True, slots=True)
class MonthCount:
    """A month by its first day, how many nights of it are on record, and how many of these are of an older period."""

    month: date
    nights: int
    older: int = 0


def by_month(nights: Iterable[date], first: date, last: date, newer: date | None = None) -> list[MonthCount]:
    """Every month from that of the first day to that of the last, also without a night; before `newer` is older."""
    inside = [night for night in nights if first <= night <= last]
    counts = Counter(night.replace(day=1) for night in inside)
    older = Counter(night.replace(day=1) for night in inside if newer is not None and night < newer)
    month, found = first.replace(day=1), []
    while month <= last:
        found.append(MonthCount(month, counts[month], older[month]))
        month = months_later(month, 1)
    return found
