"""A coming night's landing error, forecast from mount, observer and site, and from how far nights differ by themselves.

The same model as in `attribution`, solved for the effects together (C. R. Henderson, Biometrics 31 (1975) 423), so that
what is known of a sum is known of it: a mount that only Ines uses is well known with Ines, however little of either.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from obslog.trends.attribution.attribution import FEWEST_SETUPS, NothingToAttribute
from obslog.trends.attribution.crossed import CrossedData
from obslog.trends.attribution.reml import fit_variances
from obslog.trends.attribution.shrinkage import SMALLEST_SHARE, plausible_variances

Array = NDArray[np.float64]
HALF_OF_NIGHTS, NINE_OF_TEN = 0.674490, 1.644854
"""Standard deviations to either side of the middle that hold half of nights, and nine of ten."""


@dataclass(frozen=True, slots=True)
class NightAhead:
    """The logarithm of the half-landing radius of a night to come: its middle and its standard deviation."""

    log_arcmin: float
    log_sd: float

    def within(self, deviations: float) -> tuple[float, float]:
        """The radii between which it lies, arcminutes, so many standard deviations to either side."""
        low, high = np.exp(self.log_arcmin + np.array([-deviations, deviations]) * self.log_sd)
        return float(low), float(high)

    @property
    def half_arcmin(self) -> float:
        """Above it in half of such nights, below it in the others."""
        return float(np.exp(self.log_arcmin))


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecaster:
    """What is known of the effects: values (p,) and covariance (p, p), the club's level first, then levels by factor.

    `levels` and `setups` are lists by factor, in order; `variances` by factor; `rest` that of a night by itself.
    """

    factors: list[str]
    levels: list[list[str]]
    setups: list[list[int]]
    values: Array
    covariance: Array
    variances: list[float]
    rest: float

    def night(self, **levels: str | None) -> NightAhead:
        """The forecast where each factor has this level; one that is not known, or None, is anybody's."""
        chosen, more = np.zeros(self.values.size), self.rest
        chosen[0], first = 1.0, 1
        for factor, known, variance in zip(self.factors, self.levels, self.variances, strict=True):
            level = levels.get(factor)
            if level in known:
                chosen[first + known.index(level)] = 1.0
            else:
                more += variance
            first += len(known)
        return NightAhead(
            float(chosen @ self.values), float(np.sqrt(chosen @ self.covariance @ chosen + more))
        )

    def count(self, factor: str, level: str) -> int:
        """Of how many set-ups that level is known."""
        place = self.factors.index(factor)
        known = self.levels[place]
        return self.setups[place][known.index(level)] if level in known else 0


def forecaster(
    log_error: ArrayLike, log_sd: ArrayLike, factors: Mapping[str, Sequence[str | None]]
) -> Forecaster:
    """Learn from set-ups (n,) whose log landing errors are known to `log_sd`; nan are left out.

    Raises NothingToAttribute. Neglects: trends; that variances are estimates; what a mount and an observer do together.
    """
    y, sd = np.asarray(log_error, float), np.asarray(log_sd, float)
    heard = np.isfinite(y) & np.isfinite(sd)
    y, known_variance = y[heard], sd[heard] ** 2
    if y.size < FEWEST_SETUPS:
        raise NothingToAttribute(int(y.size))
    mine = {
        factor: [one for one, use in zip(levels, heard, strict=True) if use]
        for factor, levels in factors.items()
    }
    distinct = {factor: sorted({one for one in levels if one is not None}) for factor, levels in mine.items()}
    codes = {
        factor: np.array(
            [-1 if one is None else distinct[factor].index(one) for one in levels], dtype=np.intp
        )
        for factor, levels in mine.items()
    }
    names = [factor for factor in factors if distinct[factor]]
    variances = _variances(y, known_variance, [codes[f] for f in names], [len(distinct[f]) for f in names])
    values, covariance = _effects(
        y, known_variance, [codes[f] for f in names], [len(distinct[f]) for f in names], variances
    )
    return Forecaster(
        factors=names,
        levels=[distinct[factor] for factor in names],
        setups=[_counts(codes[factor], len(distinct[factor])) for factor in names],
        values=values,
        covariance=covariance,
        variances=variances[:-1].tolist(),
        rest=float(variances[-1]),
    )


def _variances(y: Array, known_variance: Array, codes: list[NDArray[np.intp]], sizes: list[int]) -> Array:
    """Of each factor, and of nights by themselves; a factor with one level tells none, and is taken to have none."""
    seen = [place for place, size in enumerate(sizes) if size > 1]
    least = SMALLEST_SHARE * float(known_variance.mean())
    found = np.full(len(sizes) + 1, least)
    if not seen:
        found[-1] = max(float(np.var(y, ddof=1) - known_variance.mean()), least)
        return found
    data = CrossedData(
        values=y,
        known_variance=known_variance,
        fixed=np.ones((y.size, 1)),
        codes=[codes[place] for place in seen],
        sizes=[sizes[place] for place in seen],
    )
    plausible = plausible_variances(fit_variances(data))
    found[[*seen, -1]] = np.maximum(plausible, least)
    return found


def _effects(
    y: Array, known_variance: Array, codes: list[NDArray[np.intp]], sizes: list[int], variances: Array
) -> tuple[Array, Array]:
    """All effects together and their covariance, the club's level first."""
    columns = [np.ones((y.size, 1))]
    spread = known_variance + variances[-1]
    for code, size, variance in zip(codes, sizes, variances, strict=False):
        columns.append((code[:, None] == np.arange(size)).astype(float))
        spread = spread + variance * (code < 0)
    design = np.hstack(columns)
    precision = np.concatenate(
        [[0.0], *(np.full(s, 1.0 / v) for s, v in zip(sizes, variances, strict=False))]
    )
    weighted = design / spread[:, None]
    covariance = np.linalg.inv(design.T @ weighted + np.diag(precision)).astype(float, copy=False)
    return covariance @ (weighted.T @ y), covariance


def _counts(codes: NDArray[np.intp], size: int) -> list[int]:
    counts: list[int] = np.bincount(codes[codes >= 0], minlength=size).tolist()
    return counts
