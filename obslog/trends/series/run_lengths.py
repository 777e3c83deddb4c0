"""How long a moving-average chart runs until it alarms, and how wide its limits must be for that.

All in units of the standard deviation of one value. `smoothing` is the weight of the newest value, above 0 and below
1; `width` is the half-width of the limits in standard deviations of the average itself. The average starts at the
centre and its limits widen with time as its own standard deviation does, exactly.
"""

from collections.abc import Callable, Sequence
from itertools import pairwise
from math import copysign, sqrt

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
NODES = 25  # Gauss-Legendre points between the limits: more change the widths by less than 0.005
SETTLED = 1e-6  # limits this near to their last width, relatively, are taken as there
NARROWEST, WIDEST, SAME_WIDTH = 0.1, 12.0, 1e-5


def average_sd(steps: ArrayLike, smoothing: float) -> Array:
    """The standard deviation of the average after 1, 2, ... steps (n,), of values with standard deviation 1.

    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4.
    """
    kept = (1 - smoothing) ** (2 * np.asarray(steps, float))
    return np.asarray(np.sqrt(smoothing / (2 - smoothing) * (1 - kept)), dtype=float)


def alarm_chances(width: float, smoothing: float, count: int, shift: ArrayLike = 0.0) -> Array:
    """The chance of an alarm within 1, 2, ... `count` values, (..., count), with limits that widen exactly.

    `shift` is the true mean of the values, so that charts with a wrong centre are covered too.
    """
    nodes, weights = np.polynomial.legendre.leggauss(NODES)
    mean = np.asarray(shift, float)[..., None]
    widening = 1 + int(np.ceil(np.log(SETTLED) / (2 * np.log1p(-smoothing))))
    limits = width * average_sd(np.minimum(np.arange(1, count + 1), widening), smoothing)
    density = _step_density(np.zeros(1), nodes * limits[0], smoothing, mean)[..., 0, :]
    inside = density * weights * limits[0]
    still = [inside.sum(axis=-1)]
    for step in range(1, count):
        if step <= widening:
            step_to = _step_density(nodes * limits[step - 1], nodes * limits[step], smoothing, mean)
            step_to *= weights * limits[step]
        inside = np.matmul(inside[..., None, :], step_to)[..., 0, :]
        still.append(inside.sum(axis=-1))
    return np.asarray(1 - np.stack(still, axis=-1), dtype=float)


def _crossing(excess: Callable[[float], float]) -> float:
    """The width at which a function of it passes through zero.

    scipy has such a search; importing it takes four times as long as this one.

    Source: C. J. F. Ridders, IEEE Trans. Circuits Syst. 26 (1979) 979.
    """
    low, high, before = (NARROWEST, excess(NARROWEST)), (WIDEST, excess(WIDEST)), WIDEST
    while True:
        middle = (low[0] + high[0]) / 2
        at_middle = excess(middle)
        way = copysign(middle - low[0], low[1] - high[1])
        found = middle + way * at_middle / sqrt(at_middle**2 - low[1] * high[1])
        if abs(found - before) < SAME_WIDTH:
            return found
        points = sorted([low, (middle, at_middle), (found, excess(found)), high])
        low, high = next(pair for pair in pairwise(points) if (pair[0][1] < 0) != (pair[1][1] < 0))
        before = found


def common_width(counts: Sequence[int], alarms: float, smoothing: float, quiet: int) -> float:
    """The width at which charts of so many values together make so many false alarms; centres are of `quiet` more.

    The sd is known. Alarms of one chart are taken as memoryless: where the chance of one within its values is p, it
    makes -ln(1 - p) of them. A chart with a wrong centre alarms early, so that short charts want wider limits.

    Source: L. A. Jones, C. W. Champ, S. E. Rigdon, Technometrics 43 (2001) 156, for the effect of estimated limits.
    Neglects: values that are not normal.
    """
    shift, weight = _wrong_centres(quiet)
    lengths = np.asarray(counts, int)

    def excess(width: float) -> float:
        chances = weight @ alarm_chances(width, smoothing, int(lengths.max()), shift)
        return float(-np.sum(np.log1p(-np.minimum(chances[lengths - 1], 1 - 1e-12))) - alarms)

    return _crossing(excess)


def _wrong_centres(quiet: int) -> tuple[Array, Array]:
    """By how much a centre from so many values is wrong, in sd of one, on a grid (k,), and the weight of each point."""
    normal, weight = np.polynomial.hermite_e.hermegauss(9)
    normal, weight = normal[4:], weight[4:] * [1, 2, 2, 2, 2]  # both signs alarm alike
    return normal / np.sqrt(quiet), weight / weight.sum()


def _step_density(start: Array, reached: Array, smoothing: float, shift: ArrayLike) -> Array:
    """Density (..., start, reached) of the next average; shift has one trailing axis to broadcast."""
    value = (reached - (1 - smoothing) * start[:, None]) / smoothing
    deviation = value - np.asarray(shift, float)[..., None]
    return np.asarray(np.exp(-0.5 * deviation**2) / (np.sqrt(2 * np.pi) * smoothing), dtype=float)
