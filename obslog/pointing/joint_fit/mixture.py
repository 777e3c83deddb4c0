"""Good arrivals and wrong ones: a two-part mixture, its weights and its honest information.

A good arrival scatters about its prediction with the estimated noise; a wrong one (another star, a slip of
the pen) lies anywhere within a broad patch. Expectation-maximisation gives each arrival a probability of
being good.
Source: G. J. McLachlan and D. Peel, Finite Mixture Models (2000), sections 2.8 and 2.15 (information, Louis
1982).
"""

from dataclasses import dataclass, replace

import numpy as np

from obslog.pointing.joint_fit.arrivals import TYPICAL_NOISE_ARCMIN
from obslog.pointing.joint_fit.elimination import Elimination, Products, Tree, Unknowns, row_variance, solve
from obslog.pointing.joint_fit.rows import FitRows
from obslog.pointing.joint_fit.scatter import WRONG_SD_ARCMIN, Scatter, way_arcmin
from obslog.pointing.model.frames import BoolArray, FloatArray

LEAST_FREEDOM = 0.02
VARIANCE_STEPS = 1
"""Noise and reading share take a few steps to part; they cost little beside the fit itself."""
STILL = 0.03
"""Errors that move by less than this fraction of the noise have settled."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Linearised:
    """The model about the unknowns `now`: residuals there (2, m), slopes (2, 7, m), and the priors' sd (7,)."""

    rows: FitRows
    residuals: FloatArray
    slopes: FloatArray
    prior_sd: FloatArray
    now: Unknowns

    def products(self) -> Products:
        return Products.of(self.residuals, self.slopes)

    def solved(self, products: Products, weight: FloatArray) -> Elimination:
        """The best step from `now` with each row's weight."""
        return solve(self.rows.tree, products, weight, self.prior_sd, self.now)

    def left_after(self, step: Unknowns) -> FloatArray:
        """The residuals (2, m) after a step from `now`."""
        return self.residuals - applied(self.rows.tree, self.slopes, step)


def probability_good(residuals: FloatArray, sd_arcmin: FloatArray, wrong_share: float) -> FloatArray:
    """The probability that rows with these residuals (2, m) are good, shape (m,)."""
    good, wrong = _two_parts(residuals, sd_arcmin, wrong_share)
    result: FloatArray = 1.0 / (1.0 + np.exp(np.clip(wrong - good, -700.0, 700.0)))
    return result


def heard_weight(good: FloatArray, sd_arcmin: FloatArray) -> FloatArray:
    """The weight (m,) of rows that are good with these probabilities: the mean of one over the two variances."""
    return good / sd_arcmin**2 + (1.0 - good) / WRONG_SD_ARCMIN**2


def log_densities(residuals: FloatArray, sd_arcmin: FloatArray, wrong_share: float) -> FloatArray:
    """Log of the mixture's density at residuals (2, m), up to a constant, shape (m,)."""
    result: FloatArray = np.logaddexp(*_two_parts(residuals, sd_arcmin, wrong_share))
    return result


def _two_parts(
    residuals: FloatArray, sd_arcmin: FloatArray, wrong_share: float
) -> tuple[FloatArray, FloatArray]:
    square = residuals[0] ** 2 + residuals[1] ** 2
    good = np.log1p(-wrong_share) - 2.0 * np.log(sd_arcmin) - 0.5 * square / sd_arcmin**2
    wrong = np.log(wrong_share) - 2.0 * np.log(WRONG_SD_ARCMIN) - 0.5 * square / WRONG_SD_ARCMIN**2
    return good, wrong


def steady_step(model: Linearised, doubted: BoolArray | None = None) -> tuple[Unknowns, BoolArray]:
    """A step that wrong arrivals cannot drag far, and the rows of zero-point pairs whose sync is doubted.

    Weights fall off as 1 / (1 + square / scale^2). Syncs hold in full, except where most arrivals judged by
    them disagree: there the sync is set aside and its arrivals heard afresh. `doubted` is the second result
    of the step before; without it the doubts are worked out first.
    """
    rows, products = model.rows, model.products()
    nobody = np.zeros(rows.arrival.size, dtype=np.bool_)
    openly = np.full(rows.arrival.size, 5.0 * TYPICAL_NOISE_ARCMIN)

    def weights(doubts: BoolArray, arrival_sd: FloatArray) -> FloatArray:
        centring_sd = np.where(doubts, WRONG_SD_ARCMIN, rows.fixed_sd_arcmin)
        sd = np.where(rows.is_centring, centring_sd, arrival_sd)
        return sd**-2.0

    def after(weight: FloatArray) -> tuple[Unknowns, FloatArray, float]:
        step = model.solved(products, weight).step
        return step, *_sizes(rows, model.left_after(step))

    if doubted is None:
        _, size, scale = after(weights(nobody, openly))
        for _ in range(2):
            _, size, scale = after(weights(nobody, _falling_sd(size, scale)))
        doubted = _outvoted(rows, size > 5.0 * scale)
        _, size, scale = after(weights(doubted, np.where(doubted, openly, _falling_sd(size, scale))))
    else:
        _, size, scale = after(weights(doubted, openly))
    for _ in range(2):
        step, size, scale = after(weights(doubted, _falling_sd(size, scale)))
    return step, doubted & _centring_far(rows, size > 5.0 * scale)


def _falling_sd(size: FloatArray, scale: float) -> FloatArray:
    """Standard deviations that make the weight of a residual fall with its square beyond twice the scale."""
    return scale * np.sqrt(1.0 + (size / (2.0 * scale)) ** 2)


def _sizes(rows: FitRows, left: FloatArray) -> tuple[FloatArray, float]:
    """Lengths of the residuals, and the scale that half of the arrivals' lengths give."""
    size: FloatArray = np.hypot(left[0], left[1])
    # the median length of a two-axis error is 1.18 sd
    return size, max(float(np.median(size[~rows.is_centring])) / 1.18, 1e-3)


def _outvoted(rows: FitRows, far: BoolArray) -> BoolArray:
    """Rows in pairs where at least three arrivals, and most of them, are far from what the sync says."""
    pair, measured = rows.tree.pair_of_row, ~rows.is_centring
    voters = np.bincount(pair[measured], minlength=rows.tree.pair_start.size)
    against = np.bincount(pair[measured & far], minlength=rows.tree.pair_start.size)
    result: BoolArray = ((voters >= 3) & (2 * against > voters))[pair]
    return result


def _centring_far(rows: FitRows, far: BoolArray) -> BoolArray:
    """Rows in pairs whose sync is far from where its arrivals say the star stood."""
    pair = rows.tree.pair_of_row
    astray = np.bincount(pair[rows.is_centring & far], minlength=rows.tree.pair_start.size)
    result: BoolArray = (astray > 0)[pair]
    return result


def settle(model: Linearised, scatter: Scatter, most: int = 6) -> tuple[Unknowns, Scatter]:
    """Expectation-maximisation with the model linear: the step from its `now`, and the scatter found."""
    rows, products, left = model.rows, model.products(), model.residuals
    way = way_arcmin(rows, left)
    step: Unknowns | None = None
    for _ in range(most):
        sd = scatter.row_sd(rows, way)
        good = probability_good(left, sd, scatter.wrong_share)
        weight = heard_weight(good, sd)
        elimination = model.solved(products, weight)
        before, step = step, elimination.step
        left = model.left_after(step)
        for _ in range(VARIANCE_STEPS):
            scatter = scatter.updated(rows, left, way, good)
        if before is not None and settled(minus(step, before), STILL * scatter.noise_arcmin):
            break
    paid = weight * row_variance(rows.tree, elimination, model.slopes) / 2.0
    return elimination.step, replace(scatter, freedom=np.clip(1.0 - paid, LEAST_FREEDOM, 1.0))


def information_slopes(rows: FitRows, left: FloatArray, slopes: FloatArray, scatter: Scatter) -> FloatArray:
    """Slopes scaled so that their products add up to the observed information of the mixture, (2, 7, m).

    A row that may be good or wrong informs less than its weight says, by the variance of its score; along its
    residual that can go negative, and is then taken as nothing.
    """
    sd = scatter.row_sd(rows, way_arcmin(rows, left))
    good = probability_good(left, sd, scatter.wrong_share)
    certain = heard_weight(good, sd)
    doubt = good * (1.0 - good) * (sd**-2.0 - WRONG_SD_ARCMIN**-2.0) ** 2
    length = np.maximum(np.hypot(left[0], left[1]), 1e-12)
    toward = left / length
    kept = np.sqrt(np.maximum(1.0 - doubt * length**2 / certain, 0.0))
    along = np.einsum("an,ain->in", toward, slopes)
    scaled: FloatArray = np.sqrt(certain) * (slopes - toward[:, None] * ((1.0 - kept) * along))
    return scaled


def applied(tree: Tree, slopes: FloatArray, step: Unknowns) -> FloatArray:
    """What a step changes in the predicted offsets, shape (2, m)."""
    by_row = step.by_pair(tree)[:, tree.pair_of_row]
    result: FloatArray = np.einsum("ain,in->an", slopes, by_row)
    return result


def settled(step: Unknowns, still_arcmin: float) -> bool:
    """Whether a step leaves all mechanical errors, and all set-ups but one in a thousand, where they were.

    Among thousands of set-ups one always hovers between two readings of a doubtful arrival; the rest need not
    wait.
    """
    moving = np.count_nonzero(np.abs(step.polar).max(axis=1) > still_arcmin)
    return bool(moving <= step.polar.shape[0] // 1000 and np.abs(step.mechanical).max() <= still_arcmin)


def minus(one: Unknowns, other: Unknowns) -> Unknowns:
    """The difference of two sets of unknowns."""
    return Unknowns(one.zero - other.zero, one.polar - other.polar, one.mechanical - other.mechanical)
