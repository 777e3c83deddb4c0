"""How many days an item was out of those on which it could be: arithmetic on spans of whole days, without a database.

A day counts by any part of it: an item is out from the day it goes to the day it comes back, both included, and a day
on which it came back and went out again is one day. It is missing, or gone, from the day after that was noted, and
there again on the day it is found, or taken into use again. So every day of a period is of one kind, and counted once.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

Span = tuple[date, date | None]
"""The first and the last day; None where it still goes on."""
_Days = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Life:
    """What is known of an item's days.

    `since`: on record from this day on, None where nothing tells. `absences`: noted missing, found. `gone`: retired or
    written off, in use again.
    """

    since: date | None
    loans: Sequence[Span] = ()
    absences: Sequence[Span] = ()
    gone: Sequence[Span] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class DayCount:
    """The days of a period by kind: out, in the store, missing, gone, and before the item was on record."""

    out: int
    in_store: int
    missing: int
    gone: int
    before: int

    @property
    def available(self) -> int:
        """On record, and neither missing nor gone: out or in the store."""
        return self.out + self.in_store

    @property
    def utilisation(self) -> float | None:
        """Days out by days available; None where there were none."""
        return self.out / self.available if self.available else None


def day_count(life: Life, first: date, last: date) -> DayCount | None:
    """The days from `first` to `last`, both included; None where it is not known since when the item is on record.

    A day that is missing as well as out counts as missing; one that is also gone, as gone.
    """
    if life.since is None:
        return None
    start, end = first.toordinal(), last.toordinal()
    begun = min(max(start, life.since.toordinal()), end + 1)
    window = (begun, end)
    gone, absences = _between(life.gone, end), _between(life.absences, end)
    loans = [(out.toordinal(), end if back is None else back.toordinal()) for out, back in life.loans]
    not_in_use = _covered(gone, window)
    not_there = _covered([*gone, *absences], window)
    not_in_store = _covered([*gone, *absences, *loans], window)
    return DayCount(
        out=not_in_store - not_there,
        in_store=end - begun + 1 - not_in_store,
        missing=not_there - not_in_use,
        gone=not_in_use,
        before=begun - start,
    )


def _between(spans: Iterable[Span], end: int) -> list[_Days]:
    """The days after a loss was noted and before the item was there again."""
    return [(noted.toordinal() + 1, end if back is None else back.toordinal() - 1) for noted, back in spans]


def together(counts: Iterable[DayCount]) -> DayCount:
    """The days of many items added up."""
    listed = list(counts)
    return DayCount(
        out=sum(count.out for count in listed),
        in_store=sum(count.in_store for count in listed),
        missing=sum(count.missing for count in listed),
        gone=sum(count.gone for count in listed),
        before=sum(count.before for count in listed),
    )


def _covered(spans: Iterable[_Days], window: _Days) -> int:
    """How many days of the window lie in at least one of the spans."""
    low, high = window
    count, reached = 0, low - 1
    for first, last in sorted(spans):
        first, last = max(first, reached + 1), min(last, high)
        if first <= last:
            count += last - first + 1
            reached = last
    return count
