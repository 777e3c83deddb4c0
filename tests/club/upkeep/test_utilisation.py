"""Days out by days available: the arithmetic on spans against counting day by day."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from obslog.club.upkeep.utilisation import DayCount, Life, Span, day_count, together

ORIGIN = date(2026, 1, 1)
DAYS = st.integers(0, 60).map(lambda days: ORIGIN + timedelta(days=days))


@st.composite
def spans(draw: st.DrawFn) -> list[Span]:
    """Spans that may overlap, touch or lie in one another: no order is taken for granted."""
    found: list[Span] = []
    for _ in range(draw(st.integers(0, 5))):
        first, last = sorted((draw(DAYS), draw(DAYS)))
        found.append((first, None if draw(st.booleans()) and draw(st.booleans()) else last))
    return found


def sort_of(day: date, life: Life) -> str:
    """What a day is by the words of the rule, without any arithmetic on spans."""
    assert life.since is not None
    if day < life.since:
        return "before"
    if any(day > noted and (again is None or day < again) for noted, again in life.gone):
        return "gone"
    if any(day > noted and (found is None or day < found) for noted, found in life.absences):
        return "missing"
    if any(out <= day and (back is None or day <= back) for out, back in life.loans):
        return "out"
    return "in_store"


def counted_day_by_day(life: Life, first: date, last: date) -> DayCount:
    sorts = [sort_of(first + timedelta(days=n), life) for n in range((last - first).days + 1)]
    return DayCount(**{sort: sorts.count(sort) for sort in ("out", "in_store", "missing", "gone", "before")})


@given(DAYS, spans(), spans(), spans(), DAYS, DAYS)
def test_the_arithmetic_agrees_with_counting_day_by_day(
    since: date, loans: list[Span], absences: list[Span], gone: list[Span], one: date, other: date
) -> None:
    life, (first, last) = Life(since, loans, absences, gone), sorted((one, other))
    found = day_count(life, first, last)
    assert found is not None
    assert found == counted_day_by_day(life, first, last)
    assert found.available + found.missing + found.gone + found.before == (last - first).days + 1
    assert found.utilisation is None or 0 <= found.utilisation <= 1


@pytest.mark.parametrize(
    ("loans", "days_out"),
    [
        ([(10, 10)], 1),  # out and back on one day
        ([(10, 12), (12, 15)], 6),  # handed over, or back and out again, on the 12th: that day once
        ([(10, 12), (14, 15)], 5),
        ([(0, None)], 31),
    ],
)
def test_a_day_counts_by_any_part_of_it_and_once(loans: list[tuple[int, int | None]], days_out: int) -> None:
    lent = [(ORIGIN + timedelta(a), None if b is None else ORIGIN + timedelta(b)) for a, b in loans]
    found = day_count(Life(ORIGIN, lent), ORIGIN, date(2026, 1, 31))
    assert found is not None
    assert (found.out, found.available) == (days_out, 31)


def test_what_is_not_known_is_not_zero() -> None:
    assert day_count(Life(None, [(ORIGIN, None)]), ORIGIN, ORIGIN) is None
    never_there = day_count(Life(date(2026, 3, 1)), ORIGIN, date(2026, 1, 31))
    assert never_there == DayCount(out=0, in_store=0, missing=0, gone=0, before=31)
    assert never_there.utilisation is None


def test_days_of_many_things_add_up() -> None:
    one = DayCount(out=1, in_store=2, missing=3, gone=4, before=5)
    other = DayCount(out=10, in_store=20, missing=30, gone=40, before=50)
    assert together([one, other]) == DayCount(out=11, in_store=22, missing=33, gone=44, before=55)
    assert together([]).utilisation is None
