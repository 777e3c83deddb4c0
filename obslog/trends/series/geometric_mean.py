"""The middle of many landing errors: a mean of logarithms, turned back into arcminutes."""

import numpy as np
from numpy.typing import ArrayLike

from obslog.intervals import student_t_95
from obslog.values import Interval


def geometric_mean(log_values: ArrayLike) -> Interval | None:
    """The geometric mean of values given by their natural logarithms (n,), with Student's interval.

    nan and infinite ones are left out. None where nothing is left; without an interval where there is only one value.

    Source: Student, Biometrika 6 (1908) 1.
    Neglects: that set-ups of one mount or observer are more alike than others, which makes the interval too narrow.
    """
    y = np.asarray(log_values, float)
    y = y[np.isfinite(y)]
    if y.size == 0:
        return None
    mean = float(y.mean())
    if y.size == 1:
        return Interval(float(np.exp(mean)), None, None, 1)
    half = float(student_t_95(y.size - 1) * y.std(ddof=1) / np.sqrt(y.size))
    value, low, high = (float(np.exp(mean + part)) for part in (0.0, -half, half))
    return Interval(value, low, high, int(y.size))
