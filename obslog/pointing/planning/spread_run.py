"""A pointing run spread evenly over the sky, for a mount of which nothing should be taken for granted.

The run of `run_plan` gains most on three errors that the model of a mount has; this one looks everywhere, so that what
the model does not know shows too.
"""

import numpy as np

from obslog.errors import WrongInput
from obslog.pointing.model.frames import BoolArray, FloatArray, IntArray, separation_deg
from obslog.pointing.planning.observable import Candidates
from obslog.pointing.planning.run_plan import short_way
from obslog.pointing.planning.star_choice import TooFewStars

MERIDIAN_DEG = 8.0
"""Half an hour: nearer to the meridian a star may change sides while the run goes on."""
HIGHEST_DEC_DEG = 80.0
"""Nearer to the pole the hour axis turns far for little sky, and east and west mean nothing."""
NEARLY_AS_FAR = 0.8
"""How much of the widest gap a star has to fill for being taken because it is found more easily; judged."""


class OneSideOnly(WrongInput):
    def __init__(self, side: str) -> None:
        super().__init__(
            f"No star that may be used stands {side} of the meridian.",
            "Choose another time, or another site: a run on one side alone cannot tell cone error from zero points.",
        )


def clear_of_meridian(candidates: Candidates) -> BoolArray:
    """Which candidates stand clearly on one side of the meridian, and away from the pole, (n,)."""
    clear = np.abs(hour_angle_deg(candidates)) >= MERIDIAN_DEG
    return np.asarray(clear & (np.abs(candidates.stars.dec_deg) <= HIGHEST_DEC_DEG))


def spread_run(candidates: Candidates, usable: BoolArray, count: int) -> tuple[int, ...]:
    """So many of the usable candidates, half on each side of the meridian, each in the widest gap the others left.

    The first is the one that is found most easily, to sync on; of those that fill a gap nearly as well, so are the
    others. Then the side of the sync is gone through by short slews, and the other side.

    Raises TooFewStars, OneSideOnly.
    """
    in_the_east = hour_angle_deg(candidates) < 0
    east, west = usable & in_the_east, usable & ~in_the_east
    if usable.sum() < count:
        raise TooFewStars(count, int(usable.sum()))
    for side, there in (("east", east), ("west", west)):
        if not there.any():
            raise OneSideOnly(side)
    direction = candidates.stars.airless()
    chosen = [_easiest(candidates.hard_to_find, np.flatnonzero(usable))]
    gap_deg = separation_deg(direction, direction[:, chosen[:1]])
    while len(chosen) < count:
        open_now = _side_in_want(east, west, chosen)
        filling = np.where(open_now, gap_deg, -np.inf)
        good = np.flatnonzero(open_now & (filling >= NEARLY_AS_FAR * filling.max()))
        star = _easiest(candidates.hard_to_find, good)
        chosen.append(star)
        gap_deg = np.minimum(gap_deg, separation_deg(direction, direction[:, [star]]))
    order = short_way(np.array(chosen), direction, in_the_east)
    return tuple(int(star) for star in order)


def _side_in_want(east: BoolArray, west: BoolArray, chosen: list[int]) -> BoolArray:
    """The stars that are left on the side with fewer chosen; on the other where that side has none left."""
    left_east, left_west = east.copy(), west.copy()
    left_east[chosen] = left_west[chosen] = False
    fewer_east = east[chosen].sum() <= west[chosen].sum()
    first, second = (left_east, left_west) if fewer_east else (left_west, left_east)
    return first if first.any() else second


def hour_angle_deg(candidates: Candidates) -> FloatArray:
    """From -180 to 180, west positive."""
    turned: FloatArray = (candidates.stars.hour_angle_deg + 180.0) % 360.0 - 180.0
    return turned


def _easiest(hard_to_find: FloatArray, among: IntArray) -> int:
    return int(among[np.argmin(hard_to_find[among])])
