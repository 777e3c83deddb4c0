"""Segments of a mount's history: the set-ups between two services that restart it, in order of time."""

from collections.abc import Iterable
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike


def segments_between(count: int, restarts: Iterable[int] = ()) -> list[slice]:
    """The runs of positions 0..count-1 that no restart divides; a restart is the position of the first value after it.

    Restarts at 0, at `count` or beyond, and repeated ones, divide nothing.
    """
    ends = [0, *sorted({place for place in restarts if 0 < place < count}), count]
    return [slice(start, stop) for start, stop in pairwise(ends) if stop > start]


def restart_positions(years: ArrayLike, services: ArrayLike) -> list[int]:
    """Positions, among times (n,) in rising order, of the first set-up at or after each service (m,).

    Both in one unit (years, or days). A night that begins on the day of a service comes after it.
    """
    return [int(place) for place in np.searchsorted(np.asarray(years, float), np.asarray(services, float))]
