"""Whether a value follows the season or the temperature: looked for and reported, never taken out."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from obslog.trends.series.regression import LinearFit, linear_fit
from obslog.trends.series.segments import segments_between
from obslog.values import Estimate, Interval

Array = NDArray[np.float64]

FEWEST_NIGHTS = 10
SHORTEST_YEARS = 1.0


@dataclass(frozen=True, slots=True)
class Dependence:
    """The size of the dependence, the p-value of there being none, and the slope per year with it in the fit."""

    size: Estimate
    p: float
    slope_per_year: Interval


def season(years: ArrayLike, values: ArrayLike, restarts: Iterable[int] = ()) -> Dependence | None:
    """Half the yearly swing of values (n,) at times (n,) in years, beside a slope and a level for each segment.

    None with fewer than ten nights (times) or under one year of them: a part of a year cannot be told from a slope.
    `p` is of the F test of sine and cosine together.
    """
    x, y, base = _base(years, values, restarts)
    if np.unique(x).size < FEWEST_NIGHTS or np.ptp(x) < SHORTEST_YEARS:
        return None
    turn = 2 * np.pi * x
    found = _added(base, np.column_stack([np.cos(turn), np.sin(turn)]), y)
    if found is None:
        return None
    fit, p = found
    cosine, sine = fit.coefficients[-2:]
    size = float(np.hypot(cosine, sine))
    along = np.array([cosine, sine]) / size if size > 0 else np.array([1.0, 0.0])
    sd = float(np.sqrt(along @ fit.covariance[-2:, -2:] @ along))
    swing = Estimate(size, sd, int(y.size), p < 0.05)
    return Dependence(swing, p, _slope(fit, y.size))


def temperature_dependence(
    years: ArrayLike, values: ArrayLike, temperature_c: ArrayLike, restarts: Iterable[int] = ()
) -> Dependence | None:
    """The change of values (n,) per degree, beside a slope in time and a level for each segment; nan are left out.

    None with fewer than ten nights (times), or where the temperature hardly changes or cannot be told from the time.
    """
    warmth = np.asarray(temperature_c, float)
    x, y, base = _base(years, np.where(np.isfinite(warmth), values, np.nan), restarts)
    warmth = warmth[np.isfinite(warmth) & np.isfinite(np.asarray(values, float))]
    if np.unique(x).size < FEWEST_NIGHTS:
        return None
    found = _added(base, (warmth - warmth.mean())[:, None], y)
    if found is None:
        return None
    fit, p = found
    size = Estimate(float(fit.coefficients[-1]), float(fit.sd[-1]), int(y.size), p < 0.05)
    return Dependence(size, p, _slope(fit, y.size))


def _base(years: ArrayLike, values: ArrayLike, restarts: Iterable[int]) -> tuple[Array, Array, Array]:
    """Times, values and the design (time first, then a level for each segment) of the values that are known."""
    x, y = np.asarray(years, float), np.asarray(values, float)
    known = np.isfinite(y)
    levels = np.zeros((y.size, 0))
    for part in segments_between(y.size, restarts):
        level = np.zeros((y.size, 1))
        level[part] = 1.0
        if known[part].any():
            levels = np.hstack([levels, level])
    design = np.column_stack([x - x.mean() if x.size else x, levels])
    return x[known], y[known], design[known]


def _added(base: Array, terms: Array, y: Array) -> tuple[LinearFit, float] | None:
    """The fit with the terms added, and the p-value of the F test against the fit without them."""
    from scipy.special import fdtrc

    without, with_them = linear_fit(base, y), linear_fit(np.hstack([base, terms]), y)
    if without is None or with_them is None or with_them.residual_squares == 0:
        return None
    gained = (without.residual_squares - with_them.residual_squares) / terms.shape[1]
    ratio = gained / (with_them.residual_squares / with_them.freedom)
    return with_them, float(fdtrc(terms.shape[1], with_them.freedom, ratio))


def _slope(fit: LinearFit, count: int) -> Interval:
    """With Student's interval: of ten nights six degrees of freedom are left, and 1.96 would cover 90 %."""
    from scipy.special import stdtrit

    slope, half = float(fit.coefficients[0]), float(stdtrit(fit.freedom, 0.975) * fit.sd[0])
    return Interval(slope, slope - half, slope + half, count)
