"""The middle of many landing errors: a mean of logarithms, turned back into arcminutes."""

import numpy as np
from numpy.typing import ArrayLike

from obslog.intervals import student_t_95
from obslog.values import Interval


def geometric_mean(log_values: ArrayLike, log_sd: ArrayLike = 0.0) -> Interval | None:
    """The geometric mean of values given by their natural logarithms (n,), with Student's interval.

    Each is known to `log_sd` (n,): values that happen to agree tell no more of their mean than that. nan and infinite
    ones are left out. None where nothing is left; without an interval where there is only one value.

    Source: Student, Biometrika 6 (1908) 1.
    Neglects: that set-ups of one mount or observer are more alike than others, which makes the interval too narrow.
    """
    y, known_to = np.broadcast_arrays(np.asarray(log_values, float), np.asarray(log_sd, float))
    y, known_to = y[np.isfinite(y)], known_to[np.isfinite(y)]
    if y.size == 0:
        return None
    mean = float(y.mean())
    if y.size == 1:
        return Interval(float(np.exp(mean)), None, None, 1)
    variance = max(y.var(ddof=1), (known_to**2).mean())
    half = float(student_t_95(y.size - 1) * np.sqrt(variance / y.size))
    value, low, high = (float(np.exp(mean + part)) for part in (0.0, -half, half))
    return Interval(value, low, high, int(y.size))
