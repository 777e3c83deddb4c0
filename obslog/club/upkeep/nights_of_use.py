"""Nights of use: on which nights each item was used under the sky, from the set-ups on record."""

from bisect import bisect_right
from collections.abc import Collection
from datetime import date, timedelta
from uuid import UUID

from sqlalchemy import select, union
from sqlalchemy.orm import Session

from obslog.club.register.kit_contents import items_of_kits
from obslog.records.tables.logbook_tables import Night, Setup

DAYS_OF_A_YEAR = 365


def nights_of_use(session: Session, items: Collection[UUID] | None = None) -> dict[UUID, list[date]]:
    """The nights of each mount, tube and eyepiece in order, each night once; of those asked for, or of all."""
    found: dict[UUID, list[date]] = {}
    parts = []
    for column in (Setup.mount_id, Setup.tube_id, Setup.eyepiece_id):
        part = (
            select(column, Night.night_of).join(Night, Setup.night_id == Night.id).where(column.is_not(None))
        )
        parts.append(part if items is None else part.where(column.in_(items)))
    for item, night in session.execute(union(*parts)):
        if item is not None:
            found.setdefault(item, []).append(night)
    for nights in found.values():
        nights.sort()
    return found


def nights_after(nights: list[date], day: date) -> int:
    """How many of the nights, which are in order, came after a day."""
    return len(nights) - bisect_right(nights, day)


def nights_last_year(session: Session, today: date) -> dict[UUID, int]:
    """How many nights of the last year each item was used on.

    An item that set-ups do not name, such as a battery, counts with the most used part of its kit.
    """
    start = today - timedelta(days=DAYS_OF_A_YEAR)
    own = {item: nights_after(nights, start) for item, nights in nights_of_use(session).items()}
    for items in items_of_kits(session).values():
        most = max(own.get(item, 0) for item in items)
        own |= {item: most for item in items if item not in own}
    return own
