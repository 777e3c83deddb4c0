"""The uncertainties of a fit, widened by what else is at work and by what nothing explains.

What is at work is known only so far: its covariance goes on to the mechanics and the polar axes by how much it moves
them, as if it had been among the unknowns of the fit (the Schur complement read backwards). What is left widens what
the arrivals tell by one scale; what was expected before any arrival stays.
"""

from dataclasses import replace

import numpy as np

from obslog.pointing.joint_fit.answer import MechanicalFit, PointingFit, PolarFit
from obslog.pointing.joint_fit.elimination import MECHANICAL, POLAR, ZERO, add_prior, eliminated
from obslog.pointing.joint_fit.estimates import Solution, separations_arcmin
from obslog.pointing.joint_fit.mixture import heard_weight
from obslog.pointing.misfit.apart import TERMS, row_products
from obslog.pointing.model.frames import FloatArray
from obslog.values import Estimate

AXES = 2
"""Of a polar axis: altitude and azimuth."""


def widened(
    fit: PointingFit,
    solution: Solution,
    columns: FloatArray,
    expected_arcmin: FloatArray,
    scale: float,
    azimuth_factor: FloatArray,
) -> PointingFit:
    """The fit with wider uncertainties. `columns` (2, q, m) are of the rows of the solution."""
    at_work, mechanics_move, polar_moves = _moved(solution, columns, expected_arcmin, scale)
    used = solution.rows.setup_number
    moves = np.zeros((len(fit.setups), AXES, columns.shape[1]))
    moves[used] = polar_moves
    mechanical = [
        _wider_mechanics(era, move @ at_work @ move.T, solution.prior_sd[MECHANICAL], scale)
        for era, move in zip(fit.mechanical, mechanics_move, strict=True)
    ]
    setups = [
        _wider_setup(setup, move @ at_work @ move.T, solution.prior_sd[POLAR], scale, float(factor))
        for setup, move, factor in zip(fit.setups, moves, azimuth_factor, strict=True)
    ]
    return replace(fit, mechanical=tuple(mechanical), setups=tuple(setups))


def _moved(
    solution: Solution, columns: FloatArray, expected: FloatArray, scale: float
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Covariance of the columns' values (q, q), and how each moves mechanics (eras, 3, q) and polar axes (k, 2, q)."""
    tree, residuals = solution.rows.tree, solution.residuals
    weight = heard_weight(solution.good, solution.row_sd_arcmin) / scale**2
    products = row_products(solution.slopes, columns, residuals)
    of_pair = np.add.reduceat(products * weight[:, None, None], tree.pair_start, axis=0)
    add_prior(of_pair, solution.unknowns.zero, solution.prior_sd[ZERO] ** -2.0)
    *_, left = eliminated(of_pair, 2)
    of_setup = np.add.reduceat(left, tree.setup_start, axis=0)
    add_prior(of_setup, solution.unknowns.polar, solution.prior_sd[POLAR] ** -2.0)
    _, polar_response, _, left = eliminated(of_setup, AXES)
    of_era = np.zeros((tree.eras, *left.shape[1:]))
    np.add.at(of_era, tree.era_of_setup, left)
    add_prior(of_era, solution.unknowns.mechanical, solution.prior_sd[MECHANICAL] ** -2.0)
    _, response, _, left = eliminated(of_era, TERMS)
    covariance = np.linalg.inv(left.sum(axis=0)[:-1, :-1] + np.diag(expected**-2.0))
    mechanics = -response
    by_mechanics = polar_response[:, :, :TERMS] @ mechanics[tree.era_of_setup]
    return covariance, mechanics, -(polar_response[:, :, TERMS:] + by_mechanics)


def _less_sure(covariance: FloatArray, prior_sd: FloatArray, scale: float) -> FloatArray:
    """The covariance where arrivals tell less by the square of the scale, and the prior as much as before.

    In units of the prior; what is already less sure than that, as after a doubtful arrival, stays as it is.
    """
    if scale == 1.0:
        return covariance
    units = np.outer(prior_sd, prior_sd)
    beside_prior, axes = np.linalg.eigh(covariance / units)
    told = np.maximum(1.0 / beside_prior - 1.0, 0.0)
    wider = np.where(beside_prior < 1.0, 1.0 / (told / scale**2 + 1.0), beside_prior)
    result: FloatArray = ((axes * wider) @ axes.T * units).astype(np.float64, copy=False)
    return result


def _wider_mechanics(
    era: MechanicalFit, added: FloatArray, prior_sd: FloatArray, scale: float
) -> MechanicalFit:
    covariance = _less_sure(era.covariance, prior_sd, scale) + added
    cone, squareness, sag = (
        _with_sd(estimate, float(np.sqrt(variance)), float(prior))
        for estimate, variance, prior in zip(
            (era.cone, era.squareness, era.sag), np.diagonal(covariance), prior_sd, strict=True
        )
    )
    return replace(era, cone=cone, squareness=squareness, sag=sag, covariance=covariance)


def _wider_setup(
    setup: PolarFit, added: FloatArray, prior_sd: FloatArray, scale: float, azimuth_factor: float
) -> PolarFit:
    covariance = _less_sure(setup.covariance, prior_sd, scale) + added
    altitude, azimuth = (
        _with_sd(estimate, float(np.sqrt(variance)), float(prior))
        for estimate, variance, prior in zip(
            (setup.polar_altitude, setup.polar_azimuth), np.diagonal(covariance), prior_sd, strict=True
        )
    )
    values = np.array([[altitude.value, azimuth.value]])
    away, sd = separations_arcmin(values, covariance[None], np.array([azimuth_factor]))
    return replace(
        setup,
        polar_altitude=altitude,
        polar_azimuth=azimuth,
        separation=Estimate(
            float(away[0]), float(sd[0]), altitude.count, altitude.determined and azimuth.determined
        ),
        covariance=covariance,
    )


def _with_sd(estimate: Estimate, sd: float, prior_sd: float) -> Estimate:
    return Estimate(estimate.value, sd, estimate.count, estimate.count > 0 and sd < 0.5 * prior_sd)
