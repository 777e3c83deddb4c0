"""Good arrivals and wrong ones: a two-part mixture, its weights and its honest information.

A good arrival scatters about its prediction with the estimated noise; a wrong one (another star, a slip of
the pen) lies anywhere within a broad patch. Expectation-maximisation gives each arrival a probability of
being good.
Source: G. J. McLachlan and D. Peel, Finite Mixture Models (2000), sections 2.8 and 2.15 (information, Louis
1982).
"""

from dataclasses import dataclass

import numpy as np

from obslog.pointing.elimination import Elimination, Tree, Unknowns, row_variance, solve
from obslog.pointing.fit_input import Rows
from obslog.pointing.frames import BoolArray, FloatArray

WRONG_SD_ARCMIN = 40.0
TYPICAL_NOISE_ARCMIN = 2.0
TYPICAL_NOISE_DEGREES = 8.0
"""Below so many degrees of freedom the noise leans on the typical one."""
WRONG_SHARE_PRIOR = (0.5, 9.5)
"""Worth half a wrong arrival in ten: a club that never erred is not sure it never will."""


@dataclass(frozen=True, slots=True)
class Scatter:
    """What the mixture has learnt: noise per axis and the share of wrong arrivals.

    `freedom` is how much of a good arrival's two values is left after it has paid for unknowns, 0 to 1.
    """

    noise_arcmin: float
    wrong_share: float
    freedom: float

    def row_sd(self, rows: Rows) -> FloatArray:
        """Standard deviation per axis of each row if it is good, shape (m,)."""
        return np.where(rows.is_centring, rows.fixed_sd_arcmin, self.noise_arcmin)


def probability_good(residuals: FloatArray, sd_arcmin: FloatArray, wrong_share: float) -> FloatArray:
    """The probability that rows with these residuals (2, m) are good, shape (m,)."""
    square = residuals[0] ** 2 + residuals[1] ** 2
    good = np.log1p(-wrong_share) - 2.0 * np.log(sd_arcmin) - 0.5 * square / sd_arcmin**2
    wrong = np.log(wrong_share) - 2.0 * np.log(WRONG_SD_ARCMIN) - 0.5 * square / WRONG_SD_ARCMIN**2
    result: FloatArray = 1.0 / (1.0 + np.exp(np.clip(wrong - good, -700.0, 700.0)))
    return result


def first_scatter(rows: Rows) -> Scatter:
    """Where the mixture starts: typical noise, few wrong, and a count of values less unknowns."""
    values = 2 * np.count_nonzero(~rows.is_centring)
    unknowns = 2 * rows.tree.era_of_setup.size + 3 * rows.tree.eras
    return Scatter(TYPICAL_NOISE_ARCMIN, 0.05, max(0.2, 1.0 - unknowns / values))


def steady_start(
    rows: Rows, residuals: FloatArray, slopes: FloatArray, prior_sd: FloatArray, now: Unknowns
) -> Unknowns:
    """A first step that wrong arrivals cannot drag far: weights fall off as 1 / (1 + square / scale^2).

    Syncs hold in full, except where most arrivals judged by them disagree: there the sync may be the wrong one.
    """
    sd = np.where(rows.is_centring, rows.fixed_sd_arcmin, 5.0 * TYPICAL_NOISE_ARCMIN)
    step = solve_weighted(rows.tree, residuals, slopes, 1.0 / sd, prior_sd, now).step
    for _ in range(6):
        left = residuals - applied(rows.tree, slopes, step)
        size = np.hypot(left[0], left[1])
        # the median length of a two-axis error is 1.18 sd
        scale = max(float(np.median(size[~rows.is_centring])) / 1.18, 1e-3)
        loose = np.where(_outvoted(rows, size > 5.0 * scale), scale, rows.fixed_sd_arcmin)
        sd = np.where(rows.is_centring, loose, scale * np.sqrt(1.0 + (size / (2.0 * scale)) ** 2))
        step = solve_weighted(rows.tree, residuals, slopes, 1.0 / sd, prior_sd, now).step
    return step


def _outvoted(rows: Rows, far: BoolArray) -> BoolArray:
    """Rows in pairs where at least three arrivals, and most of them, are far from what the sync lets expect."""
    pair, measured = rows.tree.pair_of_row, ~rows.is_centring
    voters = np.bincount(pair[measured], minlength=rows.tree.pair_start.size)
    against = np.bincount(pair[measured & far], minlength=rows.tree.pair_start.size)
    result: BoolArray = ((voters >= 3) & (2 * against > voters))[pair]
    return result


def settle(
    rows: Rows,
    residuals: FloatArray,
    slopes: FloatArray,
    prior_sd: FloatArray,
    now: Unknowns,
    scatter: Scatter,
    most: int = 12,
) -> tuple[Unknowns, Scatter]:
    """Expectation-maximisation with the model linear at `now`: the step from there and the scatter found."""
    left, step = residuals, None
    for _ in range(most):
        sd = scatter.row_sd(rows)
        good = probability_good(left, sd, scatter.wrong_share)
        weight = np.sqrt(good / sd**2 + (1.0 - good) / WRONG_SD_ARCMIN**2)
        elimination = solve_weighted(rows.tree, residuals, slopes, weight, prior_sd, now)
        moved = largest_difference(elimination.step, step)
        step = elimination.step
        left = residuals - applied(rows.tree, slopes, step)
        before, scatter = scatter, updated(rows, left, good, scatter)
        if (
            moved < 0.01 * scatter.noise_arcmin
            and abs(scatter.noise_arcmin / before.noise_arcmin - 1.0) < 2e-3
        ):
            break
    leverage = row_variance(rows.tree, elimination, slopes * weight)
    values = 2.0 * good[~rows.is_centring].sum()
    paid = float((leverage * good)[~rows.is_centring].sum())
    freedom = max(0.02, 1.0 - paid / values) if values > 0 else 0.02
    return step or elimination.step, Scatter(scatter.noise_arcmin, scatter.wrong_share, freedom)


def updated(rows: Rows, left: FloatArray, good: FloatArray, scatter: Scatter) -> Scatter:
    """Noise and share of wrong arrivals from the residuals, given how probably each row is good."""
    arrivals = ~rows.is_centring
    weight = good[arrivals]
    square = float(((left[0] ** 2 + left[1] ** 2)[arrivals] * weight).sum())
    degrees = 2.0 * float(weight.sum()) * scatter.freedom
    lean = max(0.0, TYPICAL_NOISE_DEGREES - degrees)
    noise = np.sqrt((square + lean * TYPICAL_NOISE_ARCMIN**2) / (degrees + lean))
    wrong, right = WRONG_SHARE_PRIOR
    share = (float((1.0 - good).sum()) + wrong) / (good.size + wrong + right)
    return Scatter(max(float(noise), 1e-4), share, scatter.freedom)


def information_slopes(rows: Rows, left: FloatArray, slopes: FloatArray, scatter: Scatter) -> FloatArray:
    """Slopes scaled so that their products add up to the observed information of the mixture, (2, 7, m).

    A row that may be good or wrong informs less than its weight says, by the variance of its score; along its
    residual that can go negative, and is then taken as nothing.
    """
    sd = scatter.row_sd(rows)
    good = probability_good(left, sd, scatter.wrong_share)
    certain = good / sd**2 + (1.0 - good) / WRONG_SD_ARCMIN**2
    doubt = good * (1.0 - good) * (sd**-2.0 - WRONG_SD_ARCMIN**-2.0) ** 2
    length = np.maximum(np.hypot(left[0], left[1]), 1e-12)
    toward = left / length
    kept = np.sqrt(np.maximum(1.0 - doubt * length**2 / certain, 0.0))
    along = np.einsum("an,ain->in", toward, slopes)
    scaled: FloatArray = np.sqrt(certain) * (slopes - toward[:, None] * ((1.0 - kept) * along))
    return scaled


def solve_weighted(
    tree: Tree,
    residuals: FloatArray,
    slopes: FloatArray,
    weight: FloatArray,
    prior_sd: FloatArray,
    now: Unknowns,
) -> Elimination:
    """`solve` after multiplying each row by its weight (one over its standard deviation)."""
    return solve(tree, residuals * weight, slopes * weight, prior_sd, now)


def applied(tree: Tree, slopes: FloatArray, step: Unknowns) -> FloatArray:
    """What a step changes in the predicted offsets, shape (2, m)."""
    by_row = step.by_pair(tree)[:, tree.pair_of_row]
    result: FloatArray = np.einsum("ain,in->an", slopes, by_row)
    return result


def largest_difference(one: Unknowns, other: Unknowns | None) -> float:
    """The largest change of a polar or mechanical error, arcminutes; infinite against nothing."""
    if other is None:
        return np.inf
    return float(max(np.abs(one.polar - other.polar).max(), np.abs(one.mechanical - other.mechanical).max()))
