"""A horizontal axis of hours in the time of the site, with few and plain labels."""

from datetime import datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from obslog.report.pictures.time_axis import MOST_LABELS

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_EVERY_HOURS = (1, 2, 3, 4, 6, 12)
_STEP = timedelta(minutes=15)  # of the zones' distances from universal time


def hour_number(instant: datetime) -> float:
    """An instant as a number of hours: in universal time, so that an hour is an hour when the clocks change."""
    return instant.timestamp() / 3600


def over_hours(axes: "Axes", from_utc: datetime, until_utc: datetime, zone: ZoneInfo) -> None:
    """Let the axis reach from one instant to another; whole hours of the clock are its labels."""
    axes.set_xlim(hour_number(from_utc), hour_number(until_utc))
    ticks = clock_hours(from_utc, until_utc, zone)
    labels = [f"{tick.astimezone(zone):%H:%M}" for tick in ticks]
    axes.set_xticks([hour_number(tick) for tick in ticks], labels)


def clock_hours(from_utc: datetime, until_utc: datetime, zone: ZoneInfo) -> list[datetime]:
    """Whole hours by the clock of a zone, one in so many that they are few."""
    whole = from_utc.replace(minute=0, second=0, microsecond=0)
    instants = [whole + _STEP * n for n in range(int((until_utc - whole) / _STEP) + 1)]
    inside = [one for one in instants if from_utc <= one <= until_utc and one.astimezone(zone).minute == 0]
    for every in _EVERY_HOURS:
        chosen = [one for one in inside if one.astimezone(zone).hour % every == 0]
        if len(chosen) <= MOST_LABELS:
            return chosen
    return inside[:1]
