"""Which day it is for the club, by the clocks of its sites: an evening in the west is not tomorrow, as it is by UTC."""

from collections import Counter
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, date, datetime, time, timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.errors import UnknownZone
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Site
from obslog.times import not_a_future_date, zone_named

MOST_HOURS_AHEAD, MOST_HOURS_BEHIND = 14, 12  # of universal time, at sea and on land: tz database


def club_day(database: Database, now: datetime) -> date:
    """The date at the sites in use, by UTC where none has a zone that is known.

    Where they have different dates, the one that most of them have; of as many that of the site entered first.
    """
    with database.read() as session:
        return day_in(session, now)


def day_in(session: Session, now: datetime) -> date:
    """The same, in a transaction; nothing that waits to be written is written for it."""
    return days_of(session)(now)


def days_of(session: Session) -> Callable[[datetime], date]:
    """The club's day of any moment, for those who ask of many: the zones of the sites in use are read once."""
    names = select(Site.zone).where(Site.retired_on.is_(None)).order_by(Site.id)
    zones = []
    with session.no_autoflush:
        for name in filter(None, session.scalars(names)):
            with suppress(UnknownZone):  # it is told where a time of that site is asked for
                zones.append(zone_named(name))

    def day_of(moment: datetime) -> date:
        days = Counter(moment.astimezone(zone).date() for zone in zones)
        return days.most_common(1)[0][0] if days else moment.date()

    return day_of


def end_of_day(session: Session, day: date) -> datetime:
    """The last minute of a day by the club's clocks, to the hour by which they are ahead or behind.

    Of a day that its clocks left out, as those of Samoa did when they changed sides, the last minute by UTC.
    """
    day_of, last = days_of(session), datetime.combine(day, time(23, 59), UTC)
    hours = range(MOST_HOURS_BEHIND, -MOST_HOURS_AHEAD - 1, -1)
    of_that_day = (moment for hour in hours if day_of(moment := last + timedelta(hours=hour)) == day)
    return next(of_that_day, last)


def day_meant(database: Database, day: date | None, now: datetime) -> date:
    """The day on which something came about: the club's day where none is given. Raises FutureDate."""
    return club_day(database, now) if day is None else not_a_future_date(day, now)
