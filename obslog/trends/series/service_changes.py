"""Before and after a service: how much the landing error changed, and how likely it is that the service helped."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from obslog.intervals import student_t_95
from obslog.trends.series.segments import segments_between
from obslog.values import Estimate, Interval

FEWEST_ON_EACH_SIDE = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class ServiceChange:
    """What followed a service: the error's factor (under 1: smaller), the chance that it helped, set-ups on each side.

    `log` is the change as a difference of logarithms, after less before.
    """

    factor: Interval
    helped: float
    log: Estimate
    before: int
    after: int


def change_between(before: ArrayLike, after: ArrayLike) -> ServiceChange | None:
    """The change from natural logarithms of an error before (n,) to those after (m,); nan are left out.

    Welch's interval, which lets the scatter change too. `helped` is the chance that the mean really fell, all changes
    being equally likely beforehand. None with fewer than two set-ups on either side, or without scatter.

    Source: B. L. Welch, Biometrika 34 (1947) 28.
    Neglects: a trend within either side: a mount that was getting worse was worse at its service than on average, so
    the help is understated; and that the worst mounts are the ones sent in, whose error falls a little by itself.
    """
    from scipy.special import stdtr

    old, new = (np.asarray(side, float) for side in (before, after))
    old, new = old[np.isfinite(old)], new[np.isfinite(new)]
    if min(old.size, new.size) < FEWEST_ON_EACH_SIDE or np.ptp(old) + np.ptp(new) == 0:
        return None
    parts = np.array([side.var(ddof=1) / side.size for side in (old, new)])
    change, sd = float(new.mean() - old.mean()), float(np.sqrt(parts.sum()))
    freedom = parts.sum() ** 2 / np.sum(parts**2 / [old.size - 1, new.size - 1])
    half = student_t_95(freedom) * sd
    count = int(old.size + new.size)
    value, low, high = (float(x) for x in np.exp([change, change - half, change + half]))
    factor = Interval(value, low, high, count)
    log = Estimate(change, sd, count, abs(change) > half)
    return ServiceChange(
        factor=factor,
        helped=float(stdtr(freedom, -change / sd)),
        log=log,
        before=int(old.size),
        after=int(new.size),
    )


def service_changes(values: ArrayLike, restarts: Iterable[int]) -> list[ServiceChange | None]:
    """The change at each service that divides values (n,), in order of time; None where there are too few set-ups.

    `restarts`: positions of the first value after each service. Each side reaches to the next service.
    """
    y = np.asarray(values, float)
    return [change_between(y[old], y[new]) for old, new in pairwise(segments_between(y.size, restarts))]
