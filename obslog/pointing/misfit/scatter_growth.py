"""Whether a scatter that changed did so at once, as after a knock, or bit by bit, as gears wear."""

from dataclasses import dataclass

import numpy as np

from obslog.pointing.model.frames import FloatArray
from obslog.values import Estimate

SURE_OVER_GROWTH = 6.0
"""Chi-square by which a step beats a steady growth where it surely came at once; as of a term of the mechanics."""
MOST_LOG = 3.0
"""Of the last scatter over the first: a factor of twenty."""
TRIED = 121


@dataclass(frozen=True, slots=True)
class ScatterCourse:
    """A steady growth, or fall, from the first set-up to the last beside a step, of the same set-ups.

    `over_growth` is by how much the step explains more, as a chi-square; `first` and `last` are the scatter at the
    ends of the growth.
    """

    over_growth: float
    first: Estimate
    last: Estimate

    @property
    def at_once(self) -> bool:
        return self.over_growth >= SURE_OVER_GROWTH

    @property
    def bit_by_bit(self) -> bool:
        """Whether a growth explains it as well as a step: then no day is to be named."""
        return self.over_growth <= 0.0


def course_of(
    value: FloatArray, sd: FloatArray, levels: FloatArray, place: int, scatter_arcmin: float
) -> ScatterCourse:
    """The course of logarithms of variances (k,), known to `sd`, beside a step at `place`; `levels` (k, people).

    Variances are in units of `scatter_arcmin` squared. A growth has a standard deviation that rises from each set-up
    to the next by as much, or by the same factor, whichever fits better. Both are fitted by weighted least squares with
    a level for each person; set-ups that differ by more than their sd are allowed for. Neglects: how long it was from
    one set-up to the next.
    """
    freedom = value.size - levels.shape[1] - 1
    later = (np.arange(value.size) >= place).astype(float)
    step_rest = _rest(value, sd, np.column_stack([levels, later]))
    growths = np.linspace(-MOST_LOG, MOST_LOG, TRIED)
    tried = [
        (_rest(value - 2.0 * _log_growth(one, by_factors, value.size), sd, levels), one, by_factors)
        for by_factors in (False, True)
        for one in growths.tolist()
    ]
    rest, growth, by_factors = min(tried)
    scale = max(min(step_rest, rest) / freedom, 1.0)
    ends = _ends(value, sd, levels, (growth, by_factors), max(rest / freedom, 1.0))
    first, last = (
        Estimate(
            scatter_arcmin * float(np.exp(log)), scatter_arcmin * float(np.exp(log)) * own, value.size, True
        )
        for log, own in ends
    )
    return ScatterCourse((rest - step_rest) / scale, first, last)


def _log_growth(growth: float, by_factors: bool, count: int) -> FloatArray:
    """The logarithm of a scatter that goes steadily from 1 to exp(growth)."""
    share = np.linspace(0.0, 1.0, count)
    log: FloatArray = growth * share if by_factors else np.log1p((np.exp(growth) - 1.0) * share)
    return log


def _rest(value: FloatArray, sd: FloatArray, columns: FloatArray) -> float:
    basis = np.linalg.qr(columns / sd[:, None])[0]
    told = value / sd
    return float(((told - basis @ (basis.T @ told)) ** 2).sum())


def _ends(
    value: FloatArray, sd: FloatArray, levels: FloatArray, course: tuple[float, bool], scale: float
) -> list[tuple[float, float]]:
    """Logarithms of the scatter at the first and the last set-up, with their sd, as all people together read it."""
    growth, by_factors = course
    log = _log_growth(growth, by_factors, value.size)
    share = np.linspace(0.0, 1.0, value.size)
    slope = 2.0 * share * (1.0 if by_factors else np.exp(growth) / np.exp(log))
    columns = np.column_stack([levels, slope]) / sd[:, None]
    covariance = np.linalg.inv(columns.T @ columns) * scale
    of_people = np.linalg.lstsq(levels / sd[:, None], (value - 2.0 * log) / sd, rcond=None)[0]
    weight = sd**-2.0 @ levels / float((sd**-2.0).sum())
    first, towards = np.append(weight / 2.0, 0.0), np.append(weight / 2.0, 1.0)
    middle = float(weight @ of_people) / 2.0
    return [
        (middle, float(np.sqrt(first @ covariance @ first))),
        (middle + growth, float(np.sqrt(towards @ covariance @ towards))),
    ]
