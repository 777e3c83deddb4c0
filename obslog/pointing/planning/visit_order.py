"""An order in which to visit targets: what sets first goes first, and the tube changes sides as seldom as may be.

Times are hours from the beginning of the plan.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

URGENT_HOURS = 1.0
PAST_MERIDIAN_HOURS = 0.5  # common practice: so far a German mount goes on without changing sides
_SIDEREAL_DAY_HOURS = 23.9344696


@dataclass(frozen=True, slots=True, kw_only=True)
class Visits:
    """Targets in the order of their visits, when each begins, and whether the tube is then east of the pier.

    `left` are those for which no time was left while they were up; `flips` how often the tube changes sides.
    """

    targets: list[int]
    start_hours: list[float]
    tube_east: list[bool]
    flips: int
    left: list[int]


def visit_order(
    opens_hours: ArrayLike,
    closes_hours: ArrayLike,
    transit_hours: ArrayLike,
    visit_minutes: float,
    *,
    has_sides: bool,
) -> Visits:
    """One visit to each of n targets (n,) while it is up, following the sky westward.

    Of the targets that are up, those whose window closes within the hour go first, then the one farthest west. Where
    the tube has sides (a German mount), those on the side in use come before those on the other, and the western ones
    begin; a target up to half an hour beyond the meridian is taken without a change. Without sides `tube_east` says
    which side of the meridian the target is on.
    """
    opens, closes, transits = (
        np.asarray(values, float) for values in (opens_hours, closes_hours, transit_hours)
    )
    waiting = np.ones(opens.size, bool)
    found = Visits(targets=[], start_hours=[], tube_east=[], flips=0, left=[])
    hour, east, flips = 0.0, True, 0
    while (waiting & (closes >= hour)).any():
        up = waiting & (opens <= hour) & (closes >= hour)
        if not up.any():
            hour = float(opens[waiting & (closes >= hour)].min())
            continue
        angle = hour_angle_hours(hour, transits)
        reached = angle >= (-PAST_MERIDIAN_HOURS if found.targets else 0.0)
        here = up & (reached if east else angle < PAST_MERIDIAN_HOURS)
        stays = has_sides and bool(here.any())
        candidates = np.flatnonzero(here if stays else up)
        urgent = np.minimum(closes[candidates] - hour, URGENT_HOURS)
        chosen = int(candidates[np.lexsort((-angle[candidates], urgent))[0]])
        side = east if stays else bool(angle[chosen] >= 0)
        flips += has_sides and bool(found.targets) and side != east
        east = side
        waiting[chosen] = False
        found.targets.append(chosen)
        found.start_hours.append(hour)
        found.tube_east.append(east)
        hour += visit_minutes / 60
    return Visits(
        targets=found.targets,
        start_hours=found.start_hours,
        tube_east=found.tube_east,
        flips=flips,
        left=[int(k) for k in np.flatnonzero(waiting)],
    )


def hour_angle_hours(hour: float, transit_hours: ArrayLike) -> Array:
    """Hour angles, in hours of an ordinary clock, of targets that pass the meridian at these times; west positive."""
    day = _SIDEREAL_DAY_HOURS
    return (hour - np.asarray(transit_hours, float) + day / 2) % day - day / 2
