"""Least squares with nested unknowns: zero points inside set-ups inside mechanical eras, eliminated from
below.

Every arrival touches two zero points, two polar errors and three mechanical errors. The normal equations
therefore form a tree, and eliminating each block once (Schur complement) costs time in proportion to the
number of arrivals.
"""

from dataclasses import dataclass

import numpy as np

from obslog.pointing.model.frames import FloatArray, IntArray

ZERO, POLAR, MECHANICAL = slice(0, 2), slice(2, 4), slice(4, 7)
UNKNOWNS = 7
_LOWER = np.tril_indices(UNKNOWNS + 1)
_CHUNK = 2048
"""Rows at a time, so that the products stay in the processor's cache."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tree:
    """Which zero-point pair each row belongs to, which set-up each pair, which mechanical era each set-up.

    Rows are sorted by pair and pairs by set-up; no pair and no set-up is empty.
    """

    pair_start: IntArray
    pair_of_row: IntArray
    setup_start: IntArray
    setup_of_pair: IntArray
    era_of_setup: IntArray
    eras: int

    @classmethod
    def of(cls, pair_of_row: IntArray, setup_of_pair: IntArray, era_of_setup: IntArray, eras: int) -> "Tree":
        return cls(
            pair_start=np.searchsorted(pair_of_row, np.arange(setup_of_pair.size)),
            pair_of_row=pair_of_row,
            setup_start=np.searchsorted(setup_of_pair, np.arange(era_of_setup.size)),
            setup_of_pair=setup_of_pair,
            era_of_setup=era_of_setup,
            eras=eras,
        )

    @property
    def setup_of_row(self) -> IntArray:
        result: IntArray = self.setup_of_pair[self.pair_of_row]
        return result

    @property
    def era_of_row(self) -> IntArray:
        result: IntArray = self.era_of_setup[self.setup_of_row]
        return result


@dataclass(frozen=True, slots=True)
class Unknowns:
    """Values for every unknown: zero (pairs, 2), polar (set-ups, 2), mechanical (eras, 3), arcminutes."""

    zero: FloatArray
    polar: FloatArray
    mechanical: FloatArray

    def plus(self, step: "Unknowns") -> "Unknowns":
        return Unknowns(self.zero + step.zero, self.polar + step.polar, self.mechanical + step.mechanical)

    def clipped(self) -> "Unknowns":
        """The same, kept to where slopes mean something: 20 degrees for zero points, 3 for the rest."""
        return Unknowns(
            np.clip(self.zero, -1200.0, 1200.0),
            np.clip(self.polar, -180.0, 180.0),
            np.clip(self.mechanical, -180.0, 180.0),
        )

    def by_pair(self, tree: Tree) -> FloatArray:
        """The seven errors that act on each pair's arrivals, shape (7, pairs)."""
        mechanical = self.mechanical[tree.era_of_setup][tree.setup_of_pair]
        return np.concatenate([self.zero, self.polar[tree.setup_of_pair], mechanical], axis=1).T


@dataclass(frozen=True, slots=True, kw_only=True)
class Elimination:
    """The solved system: the step that minimises the weighted squares, and what the covariance is made of."""

    step: Unknowns
    zero_given_rest: FloatArray
    zero_response: FloatArray
    polar_given_rest: FloatArray
    polar_response: FloatArray
    mechanical_covariance: FloatArray

    def polar_covariance(self, tree: Tree) -> FloatArray:
        """Covariance of polar and mechanical errors together, shape (set-ups, 5, 5)."""
        above = self.mechanical_covariance[tree.era_of_setup]
        return _joined_covariance(self.polar_given_rest, self.polar_response, above)

    def pair_covariance(self, tree: Tree) -> FloatArray:
        """Covariance of all seven errors that act on a pair's arrivals, shape (pairs, 7, 7)."""
        above = self.polar_covariance(tree)[tree.setup_of_pair]
        return _joined_covariance(self.zero_given_rest, self.zero_response, above)


@dataclass(frozen=True, slots=True)
class Products:
    """Products of the slopes and residuals of each row, computed once for many weightings: (m, 36)."""

    values: FloatArray

    @classmethod
    def of(cls, residuals: FloatArray, slopes: FloatArray) -> "Products":
        """From residuals (2, m) and slopes (2, 7, m): east and north added, lower triangle of 8 by 8."""
        columns = np.concatenate([slopes, residuals[:, None]], axis=1)
        values = np.empty((residuals.shape[1], _LOWER[0].size))
        for start in range(0, values.shape[0], _CHUNK):
            chunk = columns[:, :, start : start + _CHUNK]
            east_north = chunk[:, _LOWER[0]] * chunk[:, _LOWER[1]]
            values[start : start + _CHUNK] = (east_north[0] + east_north[1]).T
        return cls(values)

    def summed(self, tree: Tree, weight: FloatArray) -> FloatArray:
        """Normal blocks (pairs, 8, 8) of weighted rows; the last row and column hold the right-hand side."""
        from scipy.sparse import csr_array

        pointers = np.append(tree.pair_start, weight.size)
        pairs = csr_array(
            (weight, np.arange(weight.size), pointers), shape=(tree.pair_start.size, weight.size)
        )
        totals = pairs @ self.values
        blocks = np.empty((totals.shape[0], UNKNOWNS + 1, UNKNOWNS + 1))
        blocks[:, _LOWER[0], _LOWER[1]] = totals
        blocks[:, _LOWER[1], _LOWER[0]] = totals
        return blocks


def solve(
    tree: Tree, products: Products, weight: FloatArray, prior_sd: FloatArray, now: Unknowns
) -> Elimination:
    """The step that minimises the weighted squares of what is left plus the priors' squares, and its
    covariance.

    `weight` (m,) is one over each row's variance per axis; `prior_sd` (7,) is for priors centred on zero,
    `now` the unknowns at which residuals and slopes hold.
    """
    pull = prior_sd**-2.0
    pairs = products.summed(tree, weight)
    add_prior(pairs, now.zero, pull[ZERO])
    zero_inverse, zero_response, zero_pull, reduced = eliminated(pairs, 2)
    setups = np.add.reduceat(reduced, tree.setup_start, axis=0)
    add_prior(setups, now.polar, pull[POLAR])
    polar_inverse, polar_response, polar_pull, reduced = eliminated(setups, 2)
    eras = np.zeros((tree.eras, 4, 4))
    np.add.at(eras, tree.era_of_setup, reduced)
    add_prior(eras, now.mechanical, pull[MECHANICAL])
    covariance, _, mechanical, _ = eliminated(eras, 3)
    polar = polar_pull - _times(polar_response, mechanical[tree.era_of_setup])
    above = np.concatenate([polar, mechanical[tree.era_of_setup]], axis=1)
    zero = zero_pull - _times(zero_response, above[tree.setup_of_pair])
    return Elimination(
        step=Unknowns(zero, polar, mechanical),
        zero_given_rest=zero_inverse,
        zero_response=zero_response,
        polar_given_rest=polar_inverse,
        polar_response=polar_response,
        mechanical_covariance=covariance,
    )


def row_variance(tree: Tree, elimination: Elimination, slopes: FloatArray) -> FloatArray:
    """Trace over east and north of the fitted offsets' covariance, for each row, shape (n,).

    Slopes (2, 7, n) divided by a row's standard deviation give its leverage: how many unknowns it pays for.
    """
    covariance = elimination.pair_covariance(tree)
    spread = np.zeros(slopes.shape[2])
    for column in range(UNKNOWNS):
        weights = covariance[:, :, column].T[:, tree.pair_of_row]
        for axis in range(2):
            spread += slopes[axis, column] * np.einsum("in,in->n", slopes[axis], weights)
    return np.maximum(spread, 0.0)  # a hair under zero by rounding, where nearly nothing is known


def add_prior(blocks: FloatArray, now: FloatArray, pull: FloatArray) -> None:
    """Adds priors centred on zero to the leading unknowns; the blocks' last column is the right-hand side."""
    for index, strength in enumerate(pull):
        blocks[:, index, index] += strength
        blocks[:, index, -1] -= strength * now[:, index]
        blocks[:, -1, index] = blocks[:, index, -1]


def eliminated(blocks: FloatArray, count: int) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Takes the leading unknowns out: inverse block, response to the rest, own solution, what is left.

    Blocks are (k, c, c), symmetric, with the right-hand side as their last row and column.
    """
    own = blocks[:, :count, :count]
    inverse = np.linalg.inv(own).astype(np.float64, copy=False)
    response = inverse @ blocks[:, :count, count:]
    left = blocks[:, count:, count:] - blocks[:, count:, :count] @ response
    return inverse, response[:, :, :-1], response[:, :, -1], left


def _joined_covariance(given_rest: FloatArray, response: FloatArray, above: FloatArray) -> FloatArray:
    """Covariance of eliminated unknowns and those above them, from the conditional block and the response."""
    cross = -response @ above
    own = given_rest - cross @ response.transpose(0, 2, 1)
    return np.block([[own, cross], [cross.transpose(0, 2, 1), above]])


def _times(matrices: FloatArray, vectors: FloatArray) -> FloatArray:
    result: FloatArray = np.einsum("kij,kj->ki", matrices, vectors)
    return result
