"""Nights of use: on which nights each item was used under the sky, from the set-ups and observations on record.

A night counts once, by its date, whatever the number of set-ups, sites and things that were looked at.
"""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Collection, Iterator, Sequence
from datetime import date, timedelta
from operator import itemgetter
from typing import Any
from uuid import UUID

from sqlalchemy import or_, select
from sqlalchemy.orm import Session
from sqlalchemy.orm.attributes import InstrumentedAttribute

from obslog.club.kit_contents import items_of_kits
from obslog.records.lean_reading import bare, columns_of, days_of, keys_of
from obslog.records.tables.logbook_tables import Night, Observation, Setup
from obslog.times import DAYS_OF_A_YEAR


def nights_of_use(
    session: Session, items: Collection[UUID] | None = None, after: date | None = None
) -> dict[UUID, list[date]]:
    """The nights of each mount, tube and eyepiece in order, each night once; of those asked for, or of all.

    `after`: only nights that came after that day.
    """
    pairs = {pair for part in _USES for pair in _pairs(session, *part, items, after)}
    found: dict[UUID, list[date]] = defaultdict(list)
    used_items, on_nights = zip(*sorted(pairs, key=itemgetter(1)), strict=True) if pairs else ((), ())
    for item, night in zip(keys_of(used_items), days_of(on_nights), strict=True):
        if item is not None and (items is None or item in items):
            found[item].append(night)
    return found


_Columns = tuple[InstrumentedAttribute[Any], ...]
_USES: Sequence[tuple[type[Setup] | type[Observation], _Columns]] = (
    (Setup, (Setup.mount_id, Setup.tube_id, Setup.eyepiece_id)),
    (Observation, (Observation.eyepiece_id,)),
)


def _pairs(
    session: Session,
    table: type[Setup] | type[Observation],
    used: _Columns,
    items: Collection[UUID] | None,
    after: date | None,
) -> Iterator[tuple[Any, Any]]:
    """An item and a night of each use, as the driver gives them."""
    query = (
        select(*map(bare, (*used, Night.night_of)))
        .join(Night, table.night_id == Night.id)
        .where(or_(*(column.is_not(None) for column in used)))
    )
    if items is not None:
        query = query.where(or_(*(column.in_(items) for column in used)))
    if after is not None:
        query = query.where(Night.night_of > after)
    *columns, nights = columns_of(session, query)
    for column in columns:
        yield from zip(column, nights, strict=True)


def nights_after(nights: list[date], day: date) -> int:
    """How many of the nights, which are in order, came after a day."""
    return len(nights) - bisect_right(nights, day)


def nights_last_year(session: Session, today: date) -> dict[UUID, int]:
    """How many nights of the last year each item was used on.

    An item that set-ups do not name, such as a battery, counts with the most used part of its kit.
    """
    start = today - timedelta(days=DAYS_OF_A_YEAR)
    own = {item: len(nights) for item, nights in nights_of_use(session, after=start).items()}
    for items in items_of_kits(session).values():
        most = max(own.get(item, 0) for item in items)
        own |= {item: most for item in items if item not in own}
    return own
