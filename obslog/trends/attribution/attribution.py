"""Whose error it is: landing error split into mount, observer, site and the rest.

Each set-up's log landing error is a club level, plus an effect of its mount, of its observer, of its site, plus what
is left from night to night, plus the noise of having few arrivals. Effects are shrunken: few set-ups convict nobody.
"""

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from obslog.english import counted
from obslog.errors import ObslogError
from obslog.intervals import NORMAL_95
from obslog.trends.attribution.confounding import Confounded, confounded_levels
from obslog.trends.attribution.crossed import CrossedData
from obslog.trends.attribution.reml import Variances, fit_variances
from obslog.trends.attribution.shrinkage import Shrunken, shrunken_effects
from obslog.values import Estimate, Interval

Array = NDArray[np.float64]
Codes = NDArray[np.intp]

REST = "rest"
FEWEST_SETUPS = 6


class NothingToAttribute(ObslogError):
    def __init__(self, count: int) -> None:
        self.setups = count
        super().__init__(
            f"{counted(count, 'set-up')} with a landing error: too few, or too alike, to tell whose error it is.",
            f"Record at least {FEWEST_SETUPS}, of two mounts, observers or sites or more.",
        )


@dataclass(frozen=True, slots=True)
class Component:
    """One source's variance of log landing error, and its share of all the sources' together.

    Not `determined`: zero, or not to be told from another source; its sd is nan where the data say nothing of it.
    """

    variance: Estimate
    share: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """What one level of a factor (a mount, an observer, a site) does to the landing error.

    `ratio` is a factor beside the club's average, 1, with the number of set-ups from which it comes; `worse` the
    chance that it is really above 1. `log` is the same as a shrunken logarithm with its sd.
    """

    factor: str
    level: Hashable
    ratio: Interval
    worse: float
    log: Estimate

    @property
    def name(self) -> str:
        return str(self.level)


@dataclass(frozen=True, slots=True, kw_only=True)
class Attribution:
    """Components by factor, with `rest`; effects by factor; the club's level."""

    components: dict[str, Component]
    effects: dict[str, tuple[Effect, ...]]
    level: Estimate
    confounded: tuple[Confounded, ...]
    count: int


def attribute(
    log_error: ArrayLike,
    log_sd: ArrayLike,
    factors: Mapping[str, Sequence[Hashable | None]],
) -> Attribution:
    """Split log landing errors (n,), known to log_sd (n,), among the factors, whose level is given for each set-up.

    A level is a name, or a record whose text is its name. None is not known: that set-up still has an effect of the
    factor, but nobody's. Set-ups whose error or sd is nan are left out. A component that the data cannot see is zero
    and not determined. Effects are averaged over what each variance may be, so that a component found to be zero does
    not make its effects certain.

    Raises NothingToAttribute.
    Source: S. R. Searle, G. Casella, C. E. McCulloch, Variance Components, 1992, ch. 6.6 and 7; G. K. Robinson,
    Statistical Science 6 (1991) 15, for the effects.
    Neglects: trends in time; that a mount is better known to some observers than to others (interactions).
    """
    y, sd = np.asarray(log_error, float), np.asarray(log_sd, float)
    known = np.isfinite(y) & np.isfinite(sd)
    y, sd = y[known], sd[known]
    coded = {factor: _coded(names, known) for factor, names in factors.items()}
    codes = {factor: code for factor, (code, _) in coded.items()}
    levels = {factor: level for factor, (_, level) in coded.items()}
    seen = [factor for factor in factors if len(levels[factor]) > 1]
    if y.size < FEWEST_SETUPS or not seen:
        raise NothingToAttribute(int(y.size))
    data = CrossedData(
        values=y,
        known_variance=sd**2,
        fixed=np.ones((y.size, 1)),
        codes=[codes[f] for f in seen],
        sizes=[len(levels[f]) for f in seen],
    )
    variances = fit_variances(data)
    found = shrunken_effects(data, variances)
    effects: dict[str, tuple[Effect, ...]] = dict.fromkeys(factors, ())
    for place, factor in enumerate(seen):
        effects[factor] = _effects(found, place, codes[factor], factor, levels[factor])
    level_sd = float(np.sqrt(found.fixed_covariance[0, 0]))
    names = {factor: [str(level) for level in found_levels] for factor, found_levels in levels.items()}
    return Attribution(
        components=_components(list(factors), seen, variances, found.share_sd, int(y.size)),
        effects=effects,
        level=Estimate(float(found.fixed[0]), level_sd, int(y.size), True),
        confounded=tuple(confounded_levels(codes, names)),
        count=int(y.size),
    )


def _coded(levels: Sequence[Hashable | None], known: NDArray[np.bool_]) -> tuple[Codes, list[Hashable]]:
    """Codes of the set-ups that are known, -1 for None, and the levels in order of their names."""
    mine = [level for level, use in zip(levels, known, strict=True) if use]
    distinct = sorted({level for level in mine if level is not None}, key=str)
    place = {level: code for code, level in enumerate(distinct)}
    return np.array([-1 if level is None else place[level] for level in mine], dtype=np.intp), distinct


def _components(
    factors: list[str], seen: list[str], variances: Variances, averaged_sd: Array, count: int
) -> dict[str, Component]:
    total = float(variances.values.sum())
    share = variances.values / total if total > 0 else np.zeros(variances.values.size)
    # d share_k / d variance_l = (delta_kl - share_k) / total, the undetermined ones held
    slope = (np.eye(share.size) - share[:, None]) / (total or 1.0)
    covariance = np.nan_to_num(variances.covariance)
    share_sd = np.sqrt(np.einsum("kl,lm,km->k", slope, covariance, slope))
    sd = np.sqrt(np.diag(variances.covariance))
    share_sd[:-1] = np.where(np.isnan(averaged_sd), share_sd[:-1], averaged_sd)
    share_sd = np.where(np.isnan(sd) | (total == 0), np.nan, share_sd)
    nothing = Estimate(0.0, float("nan"), count, False)
    components = {factor: Component(nothing, nothing) for factor in factors}
    for k, name in enumerate([*seen, REST]):
        determined = bool(variances.determined[k])
        components[name] = Component(
            Estimate(float(variances.values[k]), float(sd[k]), count, determined),
            Estimate(float(share[k]), float(share_sd[k]), count, determined),
        )
    components[REST] = components.pop(REST)  # last
    return components


def _effects(
    found: Shrunken, place: int, codes: Codes, factor: str, levels: list[Hashable]
) -> tuple[Effect, ...]:
    from scipy.special import ndtr

    value, sd = found.effects[place], np.sqrt(found.variances[place])
    setups = np.bincount(codes[codes >= 0], minlength=len(levels))
    low, high = np.exp(value - NORMAL_95 * sd), np.exp(value + NORMAL_95 * sd)
    worse = ndtr(value / sd)
    return tuple(
        Effect(
            factor=factor,
            level=level,
            ratio=Interval(float(np.exp(value[k])), float(low[k]), float(high[k]), int(setups[k])),
            worse=float(worse[k]),
            log=Estimate(float(value[k]), float(sd[k]), int(setups[k]), bool(low[k] > 1 or high[k] < 1)),
        )
        for k, level in enumerate(levels)
    )
