"""The joint fit: what belongs to the mount and tube, and what belonged to each set-up.

Gauss-Newton on the exact model with Gaussian priors; nested unknowns eliminated from below; a mixture keeps
wrong stars from spoiling the answer or its standard deviations.
"""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from obslog.pointing.joint_fit.answer import NothingMeasured, PointingFit
from obslog.pointing.joint_fit.arrivals import TYPICAL_NOISE_ARCMIN, Arrivals, Machine, Priors
from obslog.pointing.joint_fit.elimination import Products, Unknowns, solve
from obslog.pointing.joint_fit.estimates import Solution, gathered
from obslog.pointing.joint_fit.mixture import (
    STILL,
    Linearised,
    information_slopes,
    probability_good,
    settle,
    settled,
    steady_step,
)
from obslog.pointing.joint_fit.rows import FitRows, fit_rows
from obslog.pointing.joint_fit.scatter import Scatter, way_arcmin
from obslog.pointing.joint_fit.second_look import Readings, second_look
from obslog.pointing.model.frames import FloatArray, IntArray
from obslog.pointing.model.geometry import AxisErrors, some_stars
from obslog.pointing.model.offset_slopes import Arrived, offsets_and_slopes
from obslog.vocabulary.mounts import MountType

MOST_STEADY_ROUNDS, MOST_ROUNDS, MOST_LOOKS = 4, 12, 3
FARTHEST_ARCMIN = 1800.0
"""A star 30 degrees from where it is predicted tells nothing of small errors: on the tangent plane its offset and
slopes grow beyond all bounds, and one of them would carry away a hundred others."""
CHUNK = 8192
"""Arrivals evaluated at a time, so that the intermediate arrays stay in the processor's cache."""


def fit_pointing(
    machine: Machine, arrivals: Arrivals, era_of_setup: IntArray, priors: Priors | None = None
) -> PointingFit:
    """The mount's mechanical errors, each set-up's polar errors, the noise and the suspects, from all
    arrivals at once.

    `era_of_setup` (set-ups,) numbers the mount-and-tube pair and mechanical era of each set-up from 0.
    Estimates are the most probable values, in arcminutes, with standard deviations from the mixture's
    observed information; what no arrival tells stays at its prior and is not `determined`.
    Raises NothingMeasured where no row carries information.
    Source: A. Bjorck, Numerical Methods for Least Squares Problems (1996), section 6.3 (blocks); G. J. McLachlan,
    D. Peel, Finite Mixture Models (2000), chapters 2 and 3 (wrong arrivals); T. A. Louis, J. R. Stat. Soc. B 44 (1982)
    226 (information).
    Neglects: the tails of an estimated noise: with 8 degrees of freedom left, 95 % lie within 2.00 sd instead
    of 1.96.
    """
    solution = solved(machine, arrivals, era_of_setup, priors)
    return gathered(solution, arrivals.setup.size, azimuth_factor(machine, arrivals, era_of_setup.size))


def solved(
    machine: Machine,
    arrivals: Arrivals,
    era_of_setup: IntArray,
    priors: Priors | None = None,
    moved_by_others: Callable[[FitRows], FloatArray] | None = None,
    *,
    looks: int = MOST_LOOKS,
    scatters_since: int | None = None,
) -> Solution:
    """The same as the arrays of the finished fit, for who goes on from there; doubtful set-ups get so many looks more.

    `moved_by_others` says by how much what is no part of the fit moves the star of each row, (2, m): a star that was
    centred is moved as one that arrived. From the set-up `scatters_since` on, in the last era, arrivals have a scatter
    of their own. Raises NothingMeasured.
    """
    rows = fit_rows(machine, arrivals, era_of_setup)
    if scatters_since is not None:
        rows = replace(rows, scatters_since=int(np.searchsorted(rows.setup_number, scatters_since)))
    if not np.any(~rows.is_centring):
        raise NothingMeasured
    if moved_by_others is not None:
        rows = replace(rows, offsets_arcmin=rows.offsets_arcmin - moved_by_others(rows))
    prior_sd = (priors or Priors()).by_unknown()
    arrived = Arrived.of(
        some_stars(arrivals.stars, rows.arrival), machine.mount_type, machine.corrects_refraction
    )
    now, scatter, other_readings = _best_reading(rows, arrived, prior_sd, looks)
    residuals, slopes = _residuals(rows, arrived, now)
    information = Products.of(residuals, information_slopes(rows, residuals, slopes, scatter.expected(rows)))
    return Solution(
        rows=rows,
        prior_sd=prior_sd,
        unknowns=now,
        scatter=scatter,
        elimination=solve(rows.tree, information, np.ones(residuals.shape[1]), prior_sd, now),
        residuals=residuals,
        slopes=slopes,
        good=probability_good(
            residuals, scatter.row_sd(rows, way_arcmin(rows, residuals)), scatter.wrong_share
        ),
        other_readings=other_readings,
    )


def _best_reading(
    rows: FitRows, arrived: Arrived, prior_sd: FloatArray, looks: int
) -> tuple[Unknowns, Scatter, Readings | None]:
    """The most probable unknowns and scatter, and what doubtful set-ups could say otherwise."""
    now, scatter = _settled_from(rows, arrived, prior_sd, *_steady_start(rows, arrived, prior_sd))
    readings = None
    for _ in range(looks):
        readings = second_look(_linearised(rows, arrived, prior_sd, now), scatter)
        if readings is None or settled(readings.step, STILL * scatter.noise_arcmin):
            break
        now, scatter = _settled_from(rows, arrived, prior_sd, now.plus(readings.step.clipped()), scatter)
    return now, scatter, readings


def _steady_start(rows: FitRows, arrived: Arrived, prior_sd: FloatArray) -> tuple[Unknowns, Scatter]:
    """Unknowns close enough to the truth for wrong arrivals to stand out."""
    tree = rows.tree
    now = Unknowns(
        np.zeros((tree.setup_of_pair.size, 2)),
        np.zeros((tree.era_of_setup.size, 2)),
        np.zeros((tree.eras, 3)),
    )
    doubted = None
    for _ in range(MOST_STEADY_ROUNDS):
        step, doubted = steady_step(_linearised(rows, arrived, prior_sd, now), doubted)
        now = now.plus(step.clipped())
        if settled(step, TYPICAL_NOISE_ARCMIN):
            break
    return now, Scatter.first(rows)


def _settled_from(
    rows: FitRows, arrived: Arrived, prior_sd: FloatArray, now: Unknowns, scatter: Scatter
) -> tuple[Unknowns, Scatter]:
    """Unknowns and scatter at the top of the posterior that is reached from here."""
    for _ in range(MOST_ROUNDS):
        before = scatter.noise_arcmin
        step, scatter = settle(_linearised(rows, arrived, prior_sd, now), scatter)
        now = now.plus(step.clipped())
        if settled(step, STILL * before) and abs(scatter.noise_arcmin / before - 1.0) < 5e-3:
            break
    return now, scatter


def _linearised(rows: FitRows, arrived: Arrived, prior_sd: FloatArray, now: Unknowns) -> Linearised:
    residuals, slopes = _residuals(rows, arrived, now)
    return Linearised(rows=rows, residuals=residuals, slopes=slopes, prior_sd=prior_sd, now=now)


def _residuals(rows: FitRows, arrived: Arrived, now: Unknowns) -> tuple[FloatArray, FloatArray]:
    """Seen minus predicted offsets (2, m) and the slopes of the predicted ones (2, 7, m)."""
    errors = now.by_pair(rows.tree)[:, rows.tree.pair_of_row]
    count = rows.arrival.size
    offsets, slopes = np.empty((2, count)), np.empty((2, 7, count))
    for start in range(0, count, CHUNK):
        part = slice(start, start + CHUNK)
        offsets[:, part], slopes[:, :, part] = offsets_and_slopes(
            arrived.part(part), AxisErrors(*errors[:, part])
        )
    residuals = rows.offsets_arcmin - offsets
    far = ~(np.hypot(*residuals) < FARTHEST_ARCMIN)  # also where nan says that it is behind the observer
    if far.any():
        residuals[:, far] = FARTHEST_ARCMIN
        slopes[:, :, far] = 0.0
    return residuals, slopes


def azimuth_factor(machine: Machine, arrivals: Arrivals, setups: int) -> FloatArray:
    """What an azimuth error of each set-up is multiplied by on the sky, (set-ups,)."""
    factor = np.ones(setups)
    if machine.mount_type is not MountType.ALTAZ:
        factor[arrivals.setup] = np.cos(np.radians(arrivals.stars.lat_deg))
    return factor
