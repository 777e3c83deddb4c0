"""Two groups of set-ups compared: by what factor the landing errors of one differ, and how many nights would settle it.

Who set them up and where are allowed for as random effects, as far as the same people and sites stand on both sides.
"""

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from math import ceil, exp, log
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from obslog.intervals import NORMAL_95, student_t_95
from obslog.trends.attribution.crossed import CrossedData, evaluate
from obslog.trends.attribution.reml import fit_variances
from obslog.trends.attribution.shrinkage import SMALLEST_SHARE, plausible_variances
from obslog.values import Interval

Array = NDArray[np.float64]
Grows = Literal["first", "second", "both"]
"""On which side nights can still be added."""
FEWEST_A_SIDE = 2
FARTHEST_END = 1000.0
USUAL_SD = 0.5
"""How far the logarithms of set-ups' landing errors usually lie apart beside counting. Judged."""
LIKE_SETUPS = 3.0
"""Few set-ups lean on that as if so many more had been looked at."""
ANY_SD = 3.0
"""How far the logarithms of people's, or of sites', errors may lie apart where the data say nothing of it. Judged."""
WORTH_TELLING = 1.25
"""A factor smaller than this is not worth nights of its own."""
POWER_80 = 0.841621
MOST_NIGHTS = 999


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoSides:
    """Half-landing radii of either side, and the second divided by the first; ends None where a side has one set-up.

    `as_seen` is the same ratio without allowing for people and sites. `night_sd` is how far the logarithms of one
    set-up after another lie apart.
    """

    first_arcmin: Interval
    second_arcmin: Interval
    ratio: Interval
    as_seen: float
    night_sd: float

    @property
    def decided(self) -> bool:
        """Whether the interval of the ratio leaves one side the better one."""
        low, high = self.ratio.low, self.ratio.high
        return low is not None and high is not None and not low <= 1.0 <= high

    @property
    def to_tell(self) -> float:
        """The factor that more nights are to tell: the one that was seen, or 1.25 where that is less."""
        return exp(max(abs(log(self.ratio.value)), log(WORTH_TELLING)))

    def more_nights(self, grows: Grows) -> int | None:
        """How many set-ups more, on the side that grows or on each, are to tell `to_tell` in four cases of five.

        At least 1. None where no number on that side would, as too little is known of the other, or more than
        MOST_NIGHTS.
        Source: the plain power calculation for two means with a known standard deviation, e.g. J. Cohen, Statistical
        Power Analysis (1988), chapter 2.
        """
        wanted = (log(self.to_tell) / (self.night_sd * (NORMAL_95 + POWER_80))) ** 2
        first, second = self.first_arcmin.count, self.second_arcmin.count
        if grows == "both":
            needed = ceil(2.0 / wanted) - min(first, second)
        else:
            # 1/first + 1/second is to come down to `wanted`
            stays, has = (first, second) if grows == "second" else (second, first)
            beside_it = wanted - 1.0 / stays
            if beside_it <= 0.0:
                return None
            needed = ceil(1.0 / beside_it) - has
        return needed if 0 < needed <= MOST_NIGHTS else (1 if needed <= 0 else None)


def two_sides(
    log_error: ArrayLike,
    log_sd: ArrayLike,
    is_second: NDArray[np.bool_],
    factors: Mapping[str, Sequence[Hashable | None]],
) -> TwoSides | None:
    """Compare set-ups (n,) that are of the second side with those that are not; None where a side has none.

    Log landing errors are known to `log_sd`; those that are nan are left out. Each set-up has, beside that, a variance
    of its own night, estimated by restricted maximum likelihood and leaning on the usual one where set-ups are few;
    each person and each site has an effect of its own, drawn from a variance likewise.
    Source: S. R. Searle, G. Casella, C. E. McCulloch, Variance Components (1992), chapters 6 and 7; Student's t for the
    set-ups less two.
    Neglects: that both sides may scatter differently; serial correlation.
    """
    y, sd = np.asarray(log_error, float), np.asarray(log_sd, float)
    known = np.isfinite(y) & np.isfinite(sd)
    y, sd, second = y[known], sd[known], np.asarray(is_second, bool)[known]
    counts = [int((~second).sum()), int(second.sum())]
    if min(counts) == 0:
        return None
    codes = [_coded(levels, known) for levels in factors.values()]
    codes = [code for code in codes if np.unique(code[code >= 0]).size > 1]
    fixed = np.stack([np.ones(y.size), second.astype(float)], axis=1)
    plain, night = _plain(y, sd**2, fixed)
    solved = (plain, night) if not codes else _crossed(y, sd**2, fixed, codes)
    (value, covariance), night = solved
    freedom = y.size - 2 + LIKE_SETUPS
    reach = student_t_95(freedom)
    at_second = np.array([1.0, 1.0])
    sure = min(counts) >= FEWEST_A_SIDE
    return TwoSides(
        first_arcmin=_interval(value[0], covariance[0, 0], reach, counts[0], sure=sure),
        second_arcmin=_interval(value.sum(), at_second @ covariance @ at_second, reach, counts[1], sure=sure),
        ratio=_interval(value[1], covariance[1, 1], reach, y.size, sure=sure),
        as_seen=float(np.exp(plain[0][1])),
        night_sd=float(np.sqrt(night + np.mean(sd**2))),
    )


def _plain(y: Array, known: Array, fixed: Array) -> tuple[tuple[Array, Array], float]:
    """Levels and their covariance, with the variance of a night at which residuals are as large as they should be.

    Source: R. C. Paule, J. Mandel, J. Res. Natl. Bur. Stand. 87 (1982) 377.
    """

    def solved(variance: float) -> tuple[Array, Array, float]:
        weight = 1.0 / (known + variance)
        covariance: Array = np.linalg.inv(fixed.T @ (weight[:, None] * fixed)).astype(float, copy=False)
        value = covariance @ fixed.T @ (weight * y)
        return value, covariance, float(weight @ (y - fixed @ value) ** 2)

    freedom = y.size - 2
    low, high = 0.0, 100.0
    for _ in range(60):
        middle = (low + high) / 2.0
        low, high = (middle, high) if solved(middle)[2] > freedom else (low, middle)
    variance = _leaning(low, freedom)
    value, covariance, _ = solved(variance)
    return (value, covariance), variance


def _crossed(
    y: Array, known: Array, fixed: Array, codes: list[NDArray[np.intp]]
) -> tuple[tuple[Array, Array], float]:
    data = CrossedData(
        values=y,
        known_variance=known,
        fixed=fixed,
        codes=codes,
        sizes=[int(code.max()) + 1 for code in codes],
    )
    # where counting explains all of it every variance is found to be zero, and the equations need one above that
    fitted = fit_variances(data)
    variances = np.maximum(plausible_variances(fitted), SMALLEST_SHARE * float(known.mean()))
    unknown = np.isnan(np.diag(fitted.covariance))[:-1]
    variances[:-1][unknown] = ANY_SD**2
    variances[-1] = _leaning(float(variances[-1]), y.size - 2)
    found = evaluate(data, variances)
    return (found.fixed, found.fixed_covariance), float(variances[-1])


def _leaning(variance: float, freedom: int) -> float:
    return float((variance * freedom + LIKE_SETUPS * USUAL_SD**2) / (freedom + LIKE_SETUPS))


def _coded(levels: Sequence[Hashable | None], known: NDArray[np.bool_]) -> NDArray[np.intp]:
    mine = [level for level, use in zip(levels, known, strict=True) if use]
    place = {
        level: code for code, level in enumerate(sorted({one for one in mine if one is not None}, key=str))
    }
    return np.array([-1 if level is None else place[level] for level in mine], dtype=np.intp)


def _interval(value: float, variance: float, reach: float, count: int, *, sure: bool) -> Interval:
    """Ends so far from the value that nobody has seen the like say nothing, and are not given."""
    if not sure or reach * np.sqrt(variance) > np.log(FARTHEST_END):
        return Interval(float(np.exp(value)), None, None, count)
    sd = float(np.sqrt(variance))
    middle, low, high = (float(np.exp(value + step * sd)) for step in (0.0, -reach, reach))
    return Interval(middle, low, high, count)
