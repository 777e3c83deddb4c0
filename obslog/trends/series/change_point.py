"""When a single step in a series most likely began, by likelihood."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from obslog.values import Estimate


@dataclass(frozen=True, slots=True)
class StepChange:
    """The first position after the step, the positions that hold 95 % of the likelihood, and the step's size."""

    first: int
    earliest: int
    latest: int
    change: Estimate


def single_step(values: ArrayLike, confidence: float = 0.95) -> StepChange | None:
    """The step between two levels that fits values (n,) in order of time best; nan are left out.

    The scatter is normal, unknown and the same on both sides; its likelihood at each place of the step, the levels
    and the scatter at their best, is taken as the step's probability of being there. None with fewer than four values
    or without scatter. It finds a step in any series: ask only where a chart alarmed. `change` is the later level
    less the earlier, its sd given the place; `determined` is true where it is more than two of its sd.

    Source: D. V. Hinkley, Biometrika 57 (1970) 1, for the likelihood of the place.
    Neglects: that the size is chosen to fit; near the end of a series it is too large.
    """
    y = np.asarray(values, float)
    known = np.flatnonzero(np.isfinite(y))
    y = y[known]
    count = y.size
    if count < 4 or np.ptp(y) == 0:
        return None
    before = np.arange(1, count)  # number of values before the step
    after = count - before
    mean_before = np.cumsum(y)[:-1] / before
    mean_after = (y.sum() - np.cumsum(y)[:-1]) / after
    change = mean_after - mean_before
    left = np.sum((y - y.mean()) ** 2) - before * after / count * change**2
    left = np.maximum(left, 1e-12 * np.sum((y - y.mean()) ** 2))  # a perfect step leaves nothing but rounding
    log_likelihood = -count / 2 * np.log(left)
    probability = np.exp(log_likelihood - log_likelihood.max())
    probability /= probability.sum()
    best = int(np.argmax(probability))
    order = np.argsort(-probability, kind="stable")
    within = order[: int(np.searchsorted(np.cumsum(probability[order]), confidence)) + 1]
    sd = float(np.sqrt(left[best] / (count - 2) * (1 / before[best] + 1 / after[best])))
    size = Estimate(float(change[best]), sd, count, bool(abs(change[best]) > 2 * sd))
    return StepChange(int(known[best + 1]), int(known[within.min() + 1]), int(known[within.max() + 1]), size)
