"""Draws from what a fit knows: zero points, polar axes, mechanics and what else is at work, all together.

The tree of the fit is eliminated once more with the further columns at its root, and drawn from the root down: each
block given those above it. So what is known of a sum (cone and squareness of a fork) stays known of it in each draw.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from obslog.pointing.joint_fit.elimination import MECHANICAL, POLAR, ZERO, add_prior, eliminated
from obslog.pointing.joint_fit.mixture import information_slopes
from obslog.pointing.misfit.examined import Examined
from obslog.pointing.model.frames import FloatArray

TERMS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Draws:
    """Draws (d, ...) of the unknowns, arcminutes, as steps from the fit's own answer.

    zero (d, pairs, 2), polar (d, set-ups of the tree, 2), mechanical (d, eras, 3), others (d, q).
    """

    zero: FloatArray
    polar: FloatArray
    mechanical: FloatArray
    others: FloatArray

    def in_parts(self, size: int) -> Iterator["Draws"]:
        """The same, so many draws at a time."""
        for start in range(0, self.zero.shape[0], size):
            part = slice(start, start + size)
            yield Draws(
                zero=self.zero[part],
                polar=self.polar[part],
                mechanical=self.mechanical[part],
                others=self.others[part],
            )


def drawn(examined: Examined, count: int, rng: np.random.Generator) -> Draws:
    """So many draws from the posterior of a fit that was examined, its uncertainties widened by the same scale.

    Neglects: that noise and the share of wrong arrivals are themselves estimated.
    """
    solution = examined.solution
    tree, prior_sd = solution.rows.tree, solution.prior_sd
    of_pair = np.add.reduceat(_information(examined), tree.pair_start, axis=0)
    zero_given, zero_response, left = _leading_taken_out(of_pair, prior_sd[ZERO])
    of_setup = np.add.reduceat(left, tree.setup_start, axis=0)
    polar_given, polar_response, left = _leading_taken_out(of_setup, prior_sd[POLAR])
    if solution.other_readings is not None:
        polar_given[solution.other_readings.setups] += solution.other_readings.spread
    of_era = np.zeros((tree.eras, *left.shape[1:]))
    np.add.at(of_era, tree.era_of_setup, left)
    mechanical_given, mechanical_response, left = _leading_taken_out(of_era, prior_sd[MECHANICAL])
    at_root = np.linalg.inv(left.sum(axis=0)[:-1, :-1] + np.diag(examined.expected_arcmin**-2.0))

    others = _normal(at_root[None].astype(np.float64), count, rng)[:, 0]
    mechanical = _normal(mechanical_given, count, rng)
    mechanical -= np.einsum("eij,dj->dei", mechanical_response, others)
    above = _joined(mechanical[:, tree.era_of_setup], others)
    polar = _normal(polar_given, count, rng) - np.einsum("kij,dkj->dki", polar_response, above)
    above = _joined(np.concatenate([polar, mechanical[:, tree.era_of_setup]], axis=2), others)
    above = above[:, tree.setup_of_pair]
    zero = _normal(zero_given, count, rng) - np.einsum("kij,dkj->dki", zero_response, above)
    return Draws(zero=zero, polar=polar, mechanical=mechanical, others=others)


def _information(examined: Examined) -> FloatArray:
    """What each row tells of its seven unknowns and the further columns, with an empty right-hand side."""
    solution = examined.solution
    columns = np.concatenate([solution.slopes, examined.others], axis=1)
    told = information_slopes(
        solution.rows, solution.residuals, columns, solution.scatter.expected(solution.rows)
    )
    with_side = np.pad(told / examined.left_out.scale, ((0, 0), (0, 1), (0, 0)))
    blocks: FloatArray = np.einsum("aim,ajm->mij", with_side, with_side)
    return blocks


def _leading_taken_out(blocks: FloatArray, prior_sd: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """The covariance of the leading unknowns given the rest, their response to the rest, and what is left."""
    add_prior(blocks, np.zeros((blocks.shape[0], prior_sd.size)), prior_sd**-2.0)
    given, response, _, left = eliminated(blocks, prior_sd.size)
    return given, response, left


def _normal(covariance: FloatArray, count: int, rng: np.random.Generator) -> FloatArray:
    """Draws about zero with covariances (k, p, p): (count, k, p)."""
    if covariance.shape[-1] == 0:
        return np.zeros((count, *covariance.shape[:2]))
    root = np.linalg.cholesky(covariance)
    result: FloatArray = np.einsum("kij,dkj->dki", root, rng.standard_normal((count, *covariance.shape[:2])))
    return result


def _joined(inner: FloatArray, others: FloatArray) -> FloatArray:
    """Unknowns (d, k, p) with those of the root beside each: (d, k, p + q)."""
    shape = (*inner.shape[:2], others.shape[1])
    return np.concatenate([inner, np.broadcast_to(others[:, None], shape)], axis=2)
