"""A horizontal axis of days, with few and plain labels."""

from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from matplotlib.axes import Axes

MOST_LABELS = 6
_SHORTEST_DAYS = 30.0
_MARGIN = 0.03
# of years, months, days, and the times of day, which no axis here has; the firsts of each, and what stands at the end
_LABELS = ["%Y", "%b", "%d %b", "%H:%M", "%H:%M", "%S"]
_FIRSTS = ["", "%Y", "%d %b", "%d %b", "%H:%M", "%H:%M"]
_BESIDE = ["", "%Y", "%Y", "%Y", "%Y", "%Y"]


def day_number(day: date) -> float:
    """The day as matplotlib counts: days since 1970-01-01."""
    return float((day - date(1970, 1, 1)).days)


def over_days(axes: "Axes", days: Iterable[date]) -> None:
    """Let the axis reach over these days; a single night stands in the middle of a month. No days: the axis stays."""
    from matplotlib.dates import AutoDateLocator, ConciseDateFormatter

    numbers = [day_number(day) for day in days]
    if not numbers:
        axes.set_xticks([])
        return
    middle, length = (min(numbers) + max(numbers)) / 2, max(numbers) - min(numbers)
    half = max(length * (1 + 2 * _MARGIN), _SHORTEST_DAYS) / 2
    axes.set_xlim(middle - half, middle + half)
    locator = AutoDateLocator(minticks=2, maxticks=MOST_LABELS)
    axes.xaxis.set_major_locator(locator)
    axes.xaxis.set_major_formatter(
        ConciseDateFormatter(locator, formats=_LABELS, zero_formats=_FIRSTS, offset_formats=_BESIDE)
    )
