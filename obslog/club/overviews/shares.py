"""So many out of so many, with what that says of the next time."""

import numpy as np

from obslog.trends.series.forgetting_rates import BetaRate
from obslog.values import Interval


def share_of(count: int, total: int) -> Interval | None:
    """The share with its 95 % interval; None where there is nothing to share.

    The interval ends at 0 where it never happened, and at 1 where it always did.
    Source: Jeffreys' interval as in Brown, Cai and DasGupta, Statistical Science 16 (2001) 101, section 4.1.2.
    """
    if not total:
        return None
    low, high = BetaRate(np.array([count + 0.5]), np.array([total - count + 0.5])).interval()
    return Interval(
        count / total,
        0.0 if count == 0 else float(low[0]),
        1.0 if count == total else float(high[0]),
        total,
    )
