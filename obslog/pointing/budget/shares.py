"""How mean squares are shared out among causes, and within what radius half of the go-tos land.

The offset of a go-to is the sum of what its causes do to it. Its square holds the square of each and twice the product
of each two. What two causes have together is given to them in proportion to their own squares: a small cause that
happens to pull the way of a large one for some nights is not made large by that, nor negative. Shares add up to the
mean square; of independent causes they become their parts of the variance, by the law of total variance.
Source: A. Saltelli et al., Global Sensitivity Analysis (2008), chapter 4 (parts of the variance); B. Feldman, Relative
Importance and Value (2005) (proportional sharing of what is common).
"""

import numpy as np

from obslog.intervals import NORMAL_95, student_t_95
from obslog.pointing.model.frames import FloatArray, IntArray

RESAMPLED = 200
USUAL_LOG_SD, LIKE_SETUPS = 0.6, 3
"""Set-ups of a mount usually land as far apart as a factor 1.8; worth so many set-ups. Judged."""


def shares(done: FloatArray) -> FloatArray:
    """The parts (c, ...) of causes that did (c, ..., 2, v) in the mean square of their sum."""
    products = np.einsum("i...av,j...av->ij...", done, done, optimize=True) / done.shape[-1]
    own = np.einsum("ii...->i...", products)
    both = own[:, None] + own[None, :]
    result: FloatArray = (2.0 * products * own[:, None] / np.maximum(both, 1e-300)).sum(axis=1)
    return result


def half_within(offsets: FloatArray) -> FloatArray:
    """The radius (...) inside which half of the go-tos (..., 2, v) land."""
    square = offsets[..., 0, :] ** 2
    square += offsets[..., 1, :] ** 2
    count = square.shape[-1]
    middle = [(count - 1) // 2, count // 2]
    # Of roots only the two in the middle are needed: half the time of a median.
    square.partition(middle, axis=-1)
    result: FloatArray = np.sqrt(square[..., middle]).mean(axis=-1)
    return result


def log_half_sd(offsets: FloatArray, setup: IntArray, rng: np.random.Generator) -> float | None:
    """How uncertain the logarithm of that radius is, for the mount as it is used: from set-up to set-up.

    Whole set-ups are drawn again, for their go-tos share a polar axis; few of them lean on how far set-ups usually
    differ, and Student's t widens what is left. Of one set-up its go-tos are drawn. None with a single go-to.
    Source: B. Efron, R. J. Tibshirani, An Introduction to the Bootstrap (1993), sections 8.5 and 12.5.
    """
    if setup.size < 2:
        return None
    away = np.log(np.maximum(np.hypot(*offsets), 1e-6))
    count = np.unique(setup).size
    if count == 1:
        own, of_one = float(np.std(_medians(away, np.arange(setup.size), rng))), 0.0
    else:
        own, of_one = 0.0, count / (count - 1) * count * float(np.var(_medians(away, setup, rng)))
    freedom = count - 1 + LIKE_SETUPS
    variance = ((count - 1) * of_one + LIKE_SETUPS * USUAL_LOG_SD**2) / freedom
    # the spread of medians drawn again is known half as well as its set-ups are many
    wider = student_t_95((count - 1) / 2 + LIKE_SETUPS) / NORMAL_95
    return float(np.hypot(own, np.sqrt(variance / count) * wider))


def between_setups(offsets: FloatArray, setup: IntArray) -> float:
    """How far the logarithms of how far off they land differ from set-up to set-up: leans as the radius does."""
    _, place = np.unique(setup, return_inverse=True)
    away = np.log(np.maximum(np.hypot(*offsets), 1e-6))
    means = np.bincount(place, away) / np.bincount(place)
    squares = float(((means - means.mean()) ** 2).sum())
    return float(np.sqrt((squares + LIKE_SETUPS * USUAL_LOG_SD**2) / (means.size - 1 + LIKE_SETUPS)))


def _medians(values: FloatArray, group: IntArray, rng: np.random.Generator) -> FloatArray:
    """Medians of values whose groups were drawn again: of sorted values, each as often as its group was drawn."""
    order = np.argsort(values)
    _, place = np.unique(group, return_inverse=True)
    groups = int(place.max()) + 1
    ordered, group_of = values[order], place[order]
    found = np.empty(RESAMPLED)
    for number, drawn in enumerate(rng.integers(groups, size=(RESAMPLED, groups))):
        until = np.cumsum(np.bincount(drawn, minlength=groups)[group_of])
        middle = (until[-1] - 1) // 2, until[-1] // 2
        found[number] = ordered[np.searchsorted(until, middle, side="right")].mean()
    return found
