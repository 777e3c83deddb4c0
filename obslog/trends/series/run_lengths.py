"""How long a moving-average chart runs until it alarms, and how wide its limits must be for that.

All in units of the standard deviation of one value. `smoothing` is the weight of the newest value, above 0 and below
1; `width` is the half-width of the limits in standard deviations of the average itself. The average starts at the
centre and its limits widen with time as its own standard deviation does, exactly.
"""

from collections.abc import Callable, Sequence
from functools import lru_cache
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


def steady_run_length(width: float, smoothing: float, shift: float = 0.0) -> float:
    """The mean number of values until an alarm when the limits are those of a long-running chart from the start.

    Solves the integral equation by Gauss-Legendre quadrature. `shift` is the mean of the values, in their own sd.

    Source: S. V. Crowder, Technometrics 29 (1987) 401, equation 1.
    """
    nodes, weights = np.polynomial.legendre.leggauss(2 * NODES)
    limit = width * np.sqrt(smoothing / (2 - smoothing))
    start = np.append(nodes * limit, 0.0)
    kernel = _step_density(start, nodes * limit, smoothing, shift, 1.0) * weights * limit
    between = np.linalg.solve(np.eye(nodes.size) - kernel[:-1], np.ones(nodes.size))
    return float(1 + kernel[-1] @ between)


def alarm_chance(
    width: float, smoothing: float, count: int, shift: ArrayLike = 0.0, spread: ArrayLike = 1.0
) -> Array:
    """The chance of an alarm within `count` values, as the last of `alarm_chances`."""
    return alarm_chances(width, smoothing, count, shift, spread)[..., -1]


def alarm_chances(
    width: float, smoothing: float, count: int, shift: ArrayLike = 0.0, spread: ArrayLike = 1.0
) -> Array:
    """The chance of an alarm within 1, 2, ... `count` values, (..., count), with limits that widen exactly.

    `shift` and `spread` (broadcast together) are the true mean and sd of the values in units of the sd the chart was
    told, so that charts with a wrong centre or a wrong sd are covered too.
    """
    nodes, weights = np.polynomial.legendre.leggauss(NODES)
    mean, sd = np.broadcast_arrays(np.asarray(shift, float)[..., None], np.asarray(spread, float)[..., None])
    widening = 1 + int(np.ceil(np.log(SETTLED) / (2 * np.log1p(-smoothing))))
    limits = width * average_sd(np.minimum(np.arange(1, count + 1), widening), smoothing)
    density = _step_density(np.zeros(1), nodes * limits[0], smoothing, mean, sd)[..., 0, :]
    inside = density * weights * limits[0]
    still = [inside.sum(axis=-1)]
    for step in range(1, count):
        if step <= widening:
            step_to = _step_density(nodes * limits[step - 1], nodes * limits[step], smoothing, mean, sd)
            step_to *= weights * limits[step]
        inside = np.matmul(inside[..., None, :], step_to)[..., 0, :]
        still.append(inside.sum(axis=-1))
    return np.asarray(1 - np.stack(still, axis=-1), dtype=float)


@lru_cache(maxsize=256)
def limit_width(run_length: float, smoothing: float, quiet: int | None = None) -> float:
    """The width of limits whose chance of a false alarm within `run_length` values is 1 - 1/e.

    That is the chance of a chart that alarms falsely once in `run_length` on average, the alarms being memoryless.
    With `quiet`, the centre and the sd come from that many earlier values, and the chance is the mean over how wrong
    they may be: limits from eight nights must be a good deal wider than limits from a hundred.

    Source: L. A. Jones, C. W. Champ, S. E. Rigdon, Technometrics 43 (2001) 156, for the effect of estimated limits.
    Neglects: values that are not normal.
    """
    shift, spread, weight = _wrongness(quiet)
    wanted = 1 - np.exp(-1)
    count = max(1, round(run_length))

    def excess(width: float) -> float:
        return float(np.sum(weight * alarm_chance(width, smoothing, count, shift, spread)) - wanted)

    return _crossing(excess)


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

    Neglects: values that are not normal.
    """
    shift, spread, weight = _wrongness(quiet, sd_known=True)
    lengths = np.asarray(counts, int)

    def excess(width: float) -> float:
        chances = weight @ alarm_chances(width, smoothing, int(lengths.max()), shift, spread)
        return float(-np.sum(np.log1p(-np.minimum(chances[lengths - 1], 1 - 1e-12))) - alarms)

    return _crossing(excess)


def _wrongness(quiet: int | None, *, sd_known: bool = False) -> tuple[Array, Array, Array]:
    """True mean and sd in units of the estimated sd, on a grid (k,), and the weight of each grid point."""
    if quiet is None:
        return np.zeros(1), np.ones(1), np.ones(1)
    from scipy.special import chdtri

    normal, normal_weight = np.polynomial.hermite_e.hermegauss(9)
    normal, normal_weight = normal[4:], normal_weight[4:] * [1, 2, 2, 2, 2]  # both signs alarm alike
    if sd_known:
        return normal / np.sqrt(quiet), np.ones(normal.size), normal_weight / normal_weight.sum()
    part, part_weight = np.polynomial.legendre.leggauss(8)
    ratio = np.sqrt(chdtri(quiet - 1, (1 - part) / 2) / (quiet - 1))  # estimated sd over true sd
    centre_error, sd_ratio = np.meshgrid(normal / np.sqrt(quiet), ratio, indexing="ij")
    weight = np.outer(normal_weight / normal_weight.sum(), part_weight / 2)
    return (centre_error / sd_ratio).ravel(), (1 / sd_ratio).ravel(), weight.ravel()


def _step_density(
    start: Array, reached: Array, smoothing: float, shift: ArrayLike, spread: ArrayLike
) -> Array:
    """Density (..., start, reached) of the next average; shift and spread have one trailing axis to broadcast."""
    mean, sd = np.asarray(shift, float)[..., None], np.asarray(spread, float)[..., None]
    value = (reached - (1 - smoothing) * start[:, None]) / smoothing
    deviation = (value - mean) / sd
    return np.asarray(np.exp(-0.5 * deviation**2) / (np.sqrt(2 * np.pi) * sd * smoothing), dtype=float)
