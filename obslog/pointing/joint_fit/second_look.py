"""A second look at set-ups with few arrivals: which of them may be the wrong one?

Four arrivals of which one is wrong can often be read in two ways, and against a lone one that is wrong nothing
speaks at all. Every arrival in turn is set aside, the set-up fitted anew (the mount's mechanical errors held),
and the reading with the highest posterior is kept. What the other readings say, weighed with their
probability, widens the stated uncertainty.
"""

from dataclasses import dataclass

import numpy as np

from obslog.pointing.joint_fit.elimination import MECHANICAL, Products, Tree, Unknowns, solve
from obslog.pointing.joint_fit.mixture import (
    Linearised,
    applied,
    heard_weight,
    log_densities,
    probability_good,
)
from obslog.pointing.joint_fit.scatter import Scatter, way_arcmin
from obslog.pointing.model.frames import BoolArray, FloatArray, IntArray

FEW_GOOD = 6.5
"""Two rows fix zero points and polar errors; with five more in agreement no other reading is left."""
ROUNDS = 8
BATCH = 1000
"""Set-ups looked at together, so that their many copies stay few megabytes."""


@dataclass(frozen=True, slots=True)
class Readings:
    """Set-ups looked at again (s,), the better step, and the spread (s, 2, 2) of their polar errors."""

    setups: IntArray
    step: Unknowns
    spread: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Copies:
    """Copies of doubtful set-ups: which set-up each copy is of, its rows, and the row set aside in it."""

    setup: IntArray
    row: IntArray
    aside: BoolArray
    copy_of_row: IntArray
    pair: IntArray
    tree: Tree


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstFit:
    """The fit that is looked at again, and each row's sd and probability of being good (m,)."""

    model: Linearised
    scatter: Scatter
    sd: FloatArray
    good: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class CopyFits:
    """What each copy says (c,): its step, polar errors and their covariance, log posterior and log volume."""

    step: Unknowns
    polar: FloatArray
    covariance: FloatArray
    top: FloatArray
    volume: FloatArray


def second_look(model: Linearised, scatter: Scatter) -> Readings | None:
    """The best reading of each set-up with few good rows; None where there is no such set-up.

    Neglects: that the mechanical errors would move with the reading, a small part of their own uncertainty.
    """
    sd = scatter.row_sd(model.rows, way_arcmin(model.rows, model.residuals))
    good = probability_good(model.residuals, sd, scatter.wrong_share)
    few = np.flatnonzero(np.bincount(model.rows.tree.setup_of_row, good) < FEW_GOOD)
    if few.size == 0:
        return None
    fitted = FirstFit(model=model, scatter=scatter, sd=sd, good=good)
    batches = np.array_split(few, -(-few.size // BATCH))
    return _joined([_looked_at(fitted, batch) for batch in batches])


def _looked_at(fitted: FirstFit, setups: IntArray) -> Readings:
    """The readings of these set-ups."""
    tree = fitted.model.rows.tree
    copies = _copies(tree, setups)
    return _weighed(tree, copies, _seen(fitted, copies), 0.2 * fitted.scatter.noise_arcmin)


def _seen(fitted: FirstFit, copies: Copies) -> CopyFits:
    """Every copy fitted by itself, from the weights found so far or with its row set aside."""
    model = fitted.model
    start = Unknowns(model.now.zero[copies.pair], model.now.polar[copies.setup], np.zeros((1, 3)))
    slopes = model.slopes[:, :, copies.row]
    slopes[:, MECHANICAL] = 0.0
    residuals = model.residuals[:, copies.row]
    products = Products.of(residuals, slopes)
    sd, wrong_share = fitted.sd[copies.row], fitted.scatter.wrong_share
    heard = np.where(copies.aside, 0.0, np.where(_own_reading(copies), fitted.good[copies.row], 1.0))
    for _ in range(ROUNDS):
        weight = heard_weight(heard, sd)
        solution = solve(copies.tree, products, weight, model.prior_sd, start)
        left = residuals - applied(copies.tree, slopes, solution.step)
        heard = probability_good(left, sd, wrong_share)
    there = start.plus(solution.step)
    top: FloatArray = np.bincount(copies.copy_of_row, log_densities(left, sd, wrong_share)).astype(float)
    top -= 0.5 * ((there.polar / model.prior_sd[2:4]) ** 2).sum(axis=1)
    volume: FloatArray = np.linalg.slogdet(solution.polar_given_rest)[1]
    volume = volume + np.add.reduceat(np.linalg.slogdet(solution.zero_given_rest)[1], copies.tree.setup_start)
    return CopyFits(
        step=solution.step, polar=there.polar, covariance=solution.polar_given_rest, top=top, volume=volume
    )


def _joined(parts: list[Readings]) -> Readings:
    """Readings of different set-ups together: each part's step is nought where it did not look."""
    step = parts[0].step
    for part in parts[1:]:
        step = step.plus(part.step)
    setups = np.concatenate([part.setups for part in parts])
    return Readings(setups, step, np.concatenate([part.spread for part in parts]))


def _own_reading(copies: Copies) -> BoolArray:
    """Rows of the copies in which nothing is set aside: they start from the weights found so far."""
    nothing = np.bincount(copies.copy_of_row, copies.aside) == 0
    result: BoolArray = nothing[copies.copy_of_row]
    return result


def _copies(tree: Tree, chosen: IntArray) -> Copies:
    """A copy of each chosen set-up as it is, and one for each of its rows, with that row set aside."""
    setup_of_row = tree.setup_of_row
    size = np.bincount(setup_of_row)
    first_row = np.searchsorted(setup_of_row, chosen)
    setup = np.repeat(chosen, size[chosen] + 1)
    aside = _counted(size[chosen] + 1) - 1
    rows_each = size[setup]
    copy_of_row = np.repeat(np.arange(setup.size), rows_each)
    local = _counted(rows_each)
    row = np.repeat(np.repeat(first_row, size[chosen] + 1), rows_each) + local
    pairs = np.bincount(tree.setup_of_pair)
    first_pair = tree.setup_start[setup]
    pairs_each = pairs[setup]
    pair = np.repeat(first_pair, pairs_each) + _counted(pairs_each)
    first_copy = np.cumsum(pairs_each) - pairs_each
    pair_of_row = tree.pair_of_row[row] - first_pair[copy_of_row] + first_copy[copy_of_row]
    setup_of_pair = np.repeat(np.arange(setup.size), pairs_each)
    copied = Tree.of(pair_of_row, setup_of_pair, np.zeros(setup.size, dtype=np.int64), 1)
    return Copies(
        setup=setup,
        row=row,
        aside=local == aside[copy_of_row],
        copy_of_row=copy_of_row,
        pair=pair,
        tree=copied,
    )


def _counted(sizes: IntArray) -> IntArray:
    """0, 1, ... size - 1 for each size in turn."""
    result: IntArray = np.arange(sizes.sum()) - np.repeat(np.cumsum(sizes) - sizes, sizes)
    return result


def _weighed(tree: Tree, copies: Copies, seen: CopyFits, same_arcmin: float) -> Readings:
    """The best copy of each set-up, and the spread about it of readings that differ, each counted once.

    The spread is what the law of total variance adds to the best reading's own covariance.
    """
    order = np.lexsort((-seen.top, copies.setup))
    setups, start, size = np.unique(copies.setup[order], return_index=True, return_counts=True)
    table = order[np.minimum(start[:, None] + np.arange(size.max()), order.size - 1)]
    there = np.arange(size.max()) < size[:, None]
    polar = seen.polar[table]
    apart = np.abs(polar[:, :, None] - polar[:, None]).max(axis=3)
    better = np.tri(size.max(), k=-1, dtype=np.bool_)
    repeated = (better & (apart < same_arcmin)).any(axis=2)
    mass = np.where(there & ~repeated, seen.top[table] + 0.5 * seen.volume[table], -np.inf)
    share = np.exp(mass - mass.max(axis=1, keepdims=True))
    share /= share.sum(axis=1, keepdims=True)
    best = table[:, 0]
    away = polar - polar[:, :1]
    # the best reading may be the wider one; then nothing is taken from it
    wider = np.maximum(seen.covariance[table] - seen.covariance[best][:, None], 0.0) * np.eye(2)
    spread = np.einsum("sr,srij->sij", share, away[..., :, None] * away[..., None, :] + wider)
    zero, moved = np.zeros((tree.setup_of_pair.size, 2)), np.zeros((tree.era_of_setup.size, 2))
    chosen_pairs = np.isin(copies.tree.setup_of_pair, best)
    zero[copies.pair[chosen_pairs]] = seen.step.zero[chosen_pairs]
    moved[setups] = seen.step.polar[best]
    return Readings(setups, Unknowns(zero, moved, np.zeros((tree.eras, 3))), spread)
