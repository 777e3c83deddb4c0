"""Shrunken effects of crossed factors, with intervals that allow for the variances being estimates themselves.

With six mounts the variance among mounts is known to a factor of two at best, and how far to shrink with it. So each
factor's effects are averaged over what its variance may be: a grid of its sd, weighted by the restricted likelihood
with all sds equally likely beforehand, the other variances following as they are correlated with it.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from obslog.trends.attribution.crossed import CrossedData, Evaluation, evaluate
from obslog.trends.attribution.reml import Variances

Array = NDArray[np.float64]

SMALLEST_SHARE = 1e-8
WELL_KNOWN = 0.2  # sd by value of a variance under which averaging over it changes nothing that matters
GRID = 9
WIDEST = (-2.5, 1.6)  # of the logarithm of the sd, about its plausible value


@dataclass(frozen=True, kw_only=True)
class Shrunken:
    """Effects and their variances, one array for each factor, and the fixed terms with their covariance.

    `share_sd` is how far each factor's share of all variance may be from its fitted one (root mean square), where
    its variance is not well known; nan where it is, or is not known at all.
    """

    effects: list[Array]
    variances: list[Array]
    fixed: Array
    fixed_covariance: Array
    share_sd: Array


def plausible_variances(found: Variances) -> Array:
    """The mean of each variance over what it may be, which is never below zero: a normal distribution cut at zero."""
    from scipy.special import log_ndtr

    sd = np.sqrt(np.diag(found.covariance))
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = found.values / sd
        mean = found.values + sd * np.exp(-0.5 * ratio**2 - log_ndtr(ratio)) / np.sqrt(2 * np.pi)
    finite = np.where(np.isfinite(mean), mean, found.values)
    return np.asarray(np.maximum(finite, SMALLEST_SHARE * found.values.sum()))


def shrunken_effects(data: CrossedData, found: Variances) -> Shrunken:
    """Each factor's effects and their variances, given the fitted variances.

    A factor whose variance the data say nothing of keeps the effects at its fitted value.

    Source: R. E. Kass, D. Steffey, J. Am. Stat. Assoc. 84 (1989) 717, for averaging over the variances.
    Neglects: that the other factors' variances are uncertain too, beyond what follows from this one's.
    """
    # Where few arrivals explain all of it, every variance is found to be zero, and the equations need one above that.
    centre = np.maximum(plausible_variances(found), SMALLEST_SHARE * float(data.known_variance.mean()))
    at_centre = evaluate(data, centre)
    effects, variances = list(at_centre.effects), list(at_centre.effect_variances)
    share_sd = np.full(len(data.sizes), np.nan)
    for k in range(len(data.sizes)):
        sd = np.sqrt(found.covariance[k, k])
        if np.isfinite(sd) and sd > WELL_KNOWN * centre[k]:
            effects[k], variances[k], share_sd[k] = _averaged(data, found, centre, k)
    return Shrunken(
        effects=effects,
        variances=variances,
        fixed=at_centre.fixed,
        fixed_covariance=at_centre.fixed_covariance,
        share_sd=share_sd,
    )


def _averaged(data: CrossedData, found: Variances, centre: Array, k: int) -> tuple[Array, Array, float]:
    reach = 3.5 * np.sqrt(found.covariance[k, k]) / (2 * centre[k])
    log_sd = np.linspace(max(-reach, WIDEST[0]), min(reach, WIDEST[1]), GRID)
    tried: list[Evaluation] = []
    share = []
    for step in np.exp(2 * log_sd) - 1:
        follow = np.nan_to_num(found.covariance[:, k] / found.covariance[k, k]) * centre[k] * step
        at = np.maximum(centre + follow, 0.1 * centre)
        at[k] = centre[k] * (1 + step)
        share.append(at[k] / at.sum())
        tried.append(evaluate(data, at))
    log_weight = log_sd - np.array([one.criterion for one in tried]) / 2
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    effects = np.array([one.effects[k] for one in tried])
    within = np.array([one.effect_variances[k] for one in tried])
    mean = weight @ effects
    fitted_share = found.values[k] / max(found.values.sum(), np.finfo(float).tiny)
    share_sd = float(np.sqrt(weight @ (np.array(share) - fitted_share) ** 2))
    return mean, weight @ within + weight @ (effects - mean) ** 2, share_sd
