"""What finished stocktakes did not find, by name, what became of it, and whether losses grow or shrink."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import comb, sqrt
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.english import counted
from obslog.records.database import Database
from obslog.records.tables.lending import Absence
from obslog.records.tables.logbook_tables import Equipment, Member
from obslog.records.tables.officer import NotFound, Stocktake
from obslog.records.tables.storeroom import Paper

NORMAL_95 = 1.959963984540054  # the standard normal quantile of 0.975
SURE = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class LostItem:
    """An item that a stocktake did not find, and what became of it since: found again, or written off."""

    name: str
    kind: str
    tag: str | None
    found_on: date | None
    written_off_on: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishedCount:
    """A finished stocktake: how many items should have been there, how many were not, and which.

    `percent` is None where nothing should have been there; `low` and `high` are the ends of its 95 % interval. Of
    `unnamed` items it was not kept which they were.
    """

    finished_on: date
    member: str | None
    expected: int
    not_found: int
    percent: float | None
    low: float | None
    high: float | None
    items: list[LostItem]
    unnamed: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Losses:
    """All finished stocktakes, the oldest first, and in words whether the last missed more or less than those before.

    `by_chance` is how likely so large a difference is by chance alone; None where there is nothing to compare.
    """

    counts: list[FinishedCount]
    trend: str
    by_chance: float | None


def losses(database: Database) -> Losses:
    """What each finished stocktake did not find."""
    with database.read() as session:
        return losses_in(session)


def losses_in(session: Session, until: Stocktake | None = None) -> Losses:
    """What each finished stocktake did not find, up to and with `until`, where that is one of them."""
    lost = _lost(session)
    query = (
        select(Stocktake, Member.name)
        .outerjoin(Member, Stocktake.member_id == Member.id)
        .where(Stocktake.finished_on.is_not(None))
        .order_by(Stocktake.finished_on, Stocktake.id)
    )
    counts = []
    for stocktake, name in session.execute(query):
        counts.append(_count(stocktake, name, lost.get(stocktake.id, [])))
        if stocktake is until:
            break
    words, chance = trend_words([(one.not_found, one.expected) for one in counts])
    return Losses(counts=counts, trend=words, by_chance=chance)


def _count(stocktake: Stocktake, member: str | None, lost: list[LostItem]) -> FinishedCount:
    assert stocktake.finished_on is not None
    expected, not_found = stocktake.expected or 0, stocktake.not_found or 0
    low, high = wilson_interval(not_found, expected)
    return FinishedCount(
        finished_on=stocktake.finished_on,
        member=member,
        expected=expected,
        not_found=not_found,
        percent=100 * not_found / expected if expected else None,
        low=low,
        high=high,
        items=lost,
        unnamed=max(0, not_found - len(lost)),
    )


def _lost(session: Session) -> dict[UUID, list[LostItem]]:
    """The items that each stocktake did not find, by their names."""
    query = (
        select(NotFound.stocktake_id, Stocktake.finished_on, Equipment, Paper)
        .join(Stocktake, NotFound.stocktake_id == Stocktake.id)
        .join(Equipment, NotFound.equipment_id == Equipment.id)
        .outerjoin(Paper, Paper.equipment_id == Equipment.id)
        .order_by(Equipment.name_key, Equipment.id)
    )
    again = {
        (absence.equipment_id, absence.since): absence.found_on
        for absence in session.scalars(select(Absence))
    }
    found: dict[UUID, list[LostItem]] = {}
    for key, finished_on, item, paper in session.execute(query):
        lost = LostItem(
            name=item.name,
            kind=item.kind,
            tag=paper.tag if paper else None,
            found_on=again.get((item.id, finished_on)) if finished_on else None,
            written_off_on=paper.written_off_on if paper else None,
        )
        found.setdefault(key, []).append(lost)
    return found


def wilson_interval(count: int, of: int) -> tuple[float | None, float | None]:
    """The ends of the 95 % interval of a share, in percent; None, None of nothing.

    Source: Wilson, "Probable inference, the law of succession, and statistical inference", Journal of the American
    Statistical Association 22 (1927), the score interval.
    """
    if not of:
        return None, None
    share, z2 = count / of, NORMAL_95**2
    middle = (share + z2 / (2 * of)) / (1 + z2 / of)
    half = NORMAL_95 / (1 + z2 / of) * sqrt(share * (1 - share) / of + z2 / (4 * of * of))
    return 100 * max(0.0, middle - half), 100 * min(1.0, middle + half)


def chance_of(count: int, of: int, before: int, of_before: int) -> float:
    """How likely the last stocktake misses so many or more, or where its share is the smaller so few or fewer, by
    chance alone: the tail of the hypergeometric distribution.

    Source: Fisher, "The logic of inductive inference", Journal of the Royal Statistical Society 98 (1935), the exact
    test of two shares.
    """
    lost, everything = count + before, of + of_before
    as_many = range(count, min(of, lost) + 1) if count * of_before >= before * of else range(0, count + 1)
    return sum(comb(of, k) * comb(of_before, lost - k) for k in as_many if lost - k <= of_before) / comb(
        everything, lost
    )


def trend_words(counts: Sequence[tuple[int, int]]) -> tuple[str, float | None]:
    """Whether the last of these counts, each how many of how many, missed more or less than those before together."""
    told = [(not_found, expected) for not_found, expected in counts if expected]
    if len(told) < 2:
        return _nothing_to_compare(counts, told), None
    count, of = told[-1]
    before, of_before = (sum(one[place] for one in told[:-1]) for place in (0, 1))
    shares = (
        f"The last missed {count} of {counted(of, 'item')} ({100 * count / of:.1f} %), "
        f"{'that' if len(told) == 2 else 'those'} before {before} of {of_before} ({100 * before / of_before:.1f} %)"
    )
    if count * of_before == before * of:
        return f"{shares}: the same share.", None
    chance = chance_of(count, of, before, of_before)
    direction = "more" if count * of_before > before * of else "fewer"
    if chance < SURE:
        return f"{shares}: {direction} than before, which chance alone does in {_percent(chance)}.", chance
    return f"{shares}. Chance alone does as much in {_percent(chance)}: no sure change.", chance


def _nothing_to_compare(counts: Sequence[tuple[int, int]], told: Sequence[tuple[int, int]]) -> str:
    """Why there is no trend: too few of the counts had an item that should have been there."""
    if told:
        return "One stocktake is no trend yet."
    if counts:
        return "No item should have been on the shelves, so there is nothing to compare."
    return "No stocktake is finished yet."


def _percent(chance: float) -> str:
    return "less than 1 % of cases" if chance < 0.01 else f"{100 * chance:.0f} % of cases"
