"""Whether a mount follows the season or the temperature in a way of its own, beside what the club's mounts do together.

Looked for and told, never taken out: the slope beside it is the mount's own with that allowed for too.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from obslog.intervals import student_t_95
from obslog.trends.own.club_model import ClubModel
from obslog.trends.own.solving import ResidualCovariance
from obslog.trends.series.covariates import FEWEST_NIGHTS, SHORTEST_YEARS
from obslog.values import Interval

Array = NDArray[np.float64]

SURE = 0.01
"""Two are looked for in every mount: at 0.05 a club of ten would be told of one by chance."""
SEASON, TEMPERATURE = "season", "temperature"


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnDependence:
    """What a mount follows, by what factor (for 10 °C more, or at the worst of the year), and how likely by chance.

    `per_year` is its own slope with that allowed for.
    """

    what: str
    factor: float
    p: float
    per_year: Interval


@dataclass(frozen=True, kw_only=True)
class SlopesKnown:
    """Of each era, (eras,): its scatter, the freedom of that, and the variance that its users hide of its slope."""

    scatter: Array
    freedom: Array
    hidden: Array


def own_dependences(model: ClubModel, known: SlopesKnown) -> list[list[OwnDependence]]:
    """What each era surely follows of its own, in the order of the eras.

    Generalised least squares of what is left after observer, site, season and temperature of the club, with the
    spreads of the model. Nights without a temperature stand at the era's mean.
    Neglects: that a mount has its share in what the club's mounts do together, so that a little is missed.
    """
    setups = model.setups
    found: list[list[OwnDependence]] = [[] for _ in range(setups.eras)]
    scatter = ResidualCovariance(model.terms, model.spreads, model.plain)
    if setups.has_season:
        turn = 2 * np.pi * setups.years
        yearly = np.column_stack([np.cos(turn), np.sin(turn)])
        _look(model, scatter, known, SEASON, yearly, np.ones(setups.count, bool), found)
    if setups.has_temperature:
        warmth = setups.temperature_c
        there = np.isfinite(warmth)
        mean = setups.sums(np.where(there, warmth, 0.0)) / np.maximum(setups.sums(there * 1.0), 1.0)
        away = np.where(there, warmth - mean[setups.era], 0.0)
        _look(model, scatter, known, TEMPERATURE, away[:, None], there, found)
    return found


def _look(
    model: ClubModel,
    scatter: ResidualCovariance,
    known: SlopesKnown,
    what: str,
    columns: Array,
    there: NDArray[np.bool_],
    found: list[list[OwnDependence]],
) -> None:
    """Add what is surely followed to what was found of each era."""
    from scipy.special import fdtrc

    setups = model.setups
    design = np.column_stack([np.ones(setups.count), setups.since_middle, columns])
    over = scatter.over(np.column_stack([design, model.adjusted]))
    extra = columns.shape[1]
    ends = np.cumsum(np.bincount(setups.era)).tolist()
    for era, (begin, end) in enumerate(pairwise([0, *ends])):
        mine = slice(begin, end)
        if not _enough(setups.years[mine], columns[mine], there[mine], yearly=what == SEASON):
            continue
        inverse = np.linalg.pinv(design[mine].T @ over[mine, :-1], hermitian=True)
        values = inverse @ (design[mine].T @ over[mine, -1])
        own, covariance = values[2:], known.scatter[era] * inverse[2:, 2:]
        freedom = max(float(known.freedom[era]) - extra, 1.0)
        p = float(fdtrc(extra, freedom, own @ np.linalg.solve(covariance, own) / extra))
        if p >= SURE:
            continue
        sd = float(np.sqrt(known.scatter[era] * inverse[1, 1] + known.hidden[era]))
        growth, half = float(values[1]), student_t_95(freedom) * sd
        size = float(np.hypot.reduce(own)) if what == SEASON else 10.0 * float(own[0])
        found[era].append(
            OwnDependence(
                what=what,
                factor=float(np.exp(size)),
                p=p,
                per_year=Interval(growth, growth - half, growth + half, int(there[mine].sum())),
            )
        )


def _enough(years: Array, columns: Array, there: NDArray[np.bool_], *, yearly: bool) -> bool:
    """Ten nights that differ; over a year or more for the season, a part of which cannot be told from a slope."""
    if np.unique(years[there]).size < FEWEST_NIGHTS or np.ptp(columns, axis=0).min() <= 0:
        return False
    return not yearly or float(np.ptp(years)) >= SHORTEST_YEARS
