"""Which day it is for the club, by the clocks of its sites: an evening in the west is not tomorrow, as it is by UTC."""

from collections import Counter
from contextlib import suppress
from datetime import date, datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.errors import UnknownZone
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Site
from obslog.times import not_a_future_date, zone_named


def club_day(database: Database, now: datetime) -> date:
    """The date at the sites in use, by UTC where none has a zone that is known.

    Where they have different dates, the one that most of them have; of as many that of the site entered first.
    """
    with database.read() as session:
        return day_in(session, now)


def day_in(session: Session, now: datetime) -> date:
    """The same, in a transaction; nothing that waits to be written is written for it."""
    zones = select(Site.zone).where(Site.retired_on.is_(None)).order_by(Site.id)
    days: Counter[date] = Counter()
    with session.no_autoflush:
        for zone in filter(None, session.scalars(zones)):
            with suppress(UnknownZone):  # it is told where a time of that site is asked for
                days[now.astimezone(zone_named(zone)).date()] += 1
    return days.most_common(1)[0][0] if days else now.date()


def day_meant(database: Database, day: date | None, now: datetime) -> date:
    """The day on which something came about: the club's day where none is given. Raises FutureDate."""
    return club_day(database, now) if day is None else not_a_future_date(day, now)
