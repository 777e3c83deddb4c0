"""A second look at set-ups with few arrivals and a doubtful one: which of them is the wrong one?

Four arrivals of which one is wrong can often be read in two ways. Every arrival in turn is set aside, the
set-up fitted anew (the mount's mechanical errors held), and the reading with the highest posterior is kept.
What the other readings say, weighed with their probability, widens the stated uncertainty.
"""

from dataclasses import dataclass

import numpy as np

from obslog.pointing.elimination import MECHANICAL, Products, Tree, Unknowns, solve
from obslog.pointing.fit_input import Rows
from obslog.pointing.frames import BoolArray, FloatArray, IntArray
from obslog.pointing.mixture import applied, log_densities, probability_good
from obslog.pointing.scatter import WRONG_SD_ARCMIN, Scatter, way_arcmin

DOUBTFUL = 0.9
FEW_GOOD = 6.5
"""Two rows fix zero points and polar errors; with five more in agreement no other reading is left."""
ROUNDS = 8


@dataclass(frozen=True, slots=True)
class Readings:
    """Set-ups looked at again (s,), the better step, and the spread (s, 2, 2) of their polar errors."""

    setups: IntArray
    step: Unknowns
    spread: FloatArray


@dataclass(frozen=True, slots=True)
class Copies:
    """Copies of doubtful set-ups: which set-up each copy is of, its rows, and the row set aside in it."""

    setup: IntArray
    row: IntArray
    aside: BoolArray
    copy_of_row: IntArray
    pair: IntArray
    tree: Tree


def second_look(
    rows: Rows,
    residuals: FloatArray,
    slopes: FloatArray,
    prior_sd: FloatArray,
    now: Unknowns,
    scatter: Scatter,
) -> Readings | None:
    """The best reading of each set-up with a doubtful row and few good ones; None where there is no such
    set-up.

    Neglects: that the mechanical errors would move with the reading, a small part of their own uncertainty.
    """
    all_sd = scatter.row_sd(rows, way_arcmin(rows, residuals))
    good = probability_good(residuals, all_sd, scatter.wrong_share)
    copies = _copies(rows.tree, good)
    if copies is None:
        return None
    start = Unknowns(now.zero[copies.pair], now.polar[copies.setup], np.zeros((1, 3)))
    part_slopes = slopes[:, :, copies.row]
    part_slopes[:, MECHANICAL] = 0.0
    part = residuals[:, copies.row]
    products = Products.of(part, part_slopes)
    sd = all_sd[copies.row]
    heard = np.where(copies.aside, 0.0, np.where(_own_reading(copies), good[copies.row], 1.0))
    for _ in range(ROUNDS):
        weight = heard / sd**2 + (1.0 - heard) / WRONG_SD_ARCMIN**2
        solution = solve(copies.tree, products, weight, prior_sd, start)
        left = part - applied(copies.tree, part_slopes, solution.step)
        heard = probability_good(left, sd, scatter.wrong_share)
    there = start.plus(solution.step)
    top: FloatArray = np.bincount(copies.copy_of_row, log_densities(left, sd, scatter.wrong_share)).astype(
        float
    )
    top -= 0.5 * ((there.polar / prior_sd[2:4]) ** 2).sum(axis=1)
    volume: FloatArray = np.linalg.slogdet(solution.polar_given_rest)[1]
    volume = volume + np.add.reduceat(np.linalg.slogdet(solution.zero_given_rest)[1], copies.tree.setup_start)
    return _weighed(rows.tree, copies, solution.step, there.polar, top, volume, 0.2 * scatter.noise_arcmin)


def _own_reading(copies: Copies) -> BoolArray:
    """Rows of the copies in which nothing is set aside: they start from the weights found so far."""
    nothing = np.bincount(copies.copy_of_row, copies.aside) == 0
    result: BoolArray = nothing[copies.copy_of_row]
    return result


def _copies(tree: Tree, good: FloatArray) -> Copies | None:
    """A copy of each doubtful set-up as it is, and one for each of its rows, with that row set aside."""
    setup_of_row = tree.setup_of_row
    size = np.bincount(setup_of_row)
    doubtful = np.bincount(setup_of_row, good < DOUBTFUL) > 0
    chosen = np.flatnonzero(doubtful & (np.bincount(setup_of_row, good) < FEW_GOOD))
    if chosen.size == 0:
        return None
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
    return Copies(setup, row, local == aside[copy_of_row], copy_of_row, pair, copied)


def _counted(sizes: IntArray) -> IntArray:
    """0, 1, ... size - 1 for each size in turn."""
    result: IntArray = np.arange(sizes.sum()) - np.repeat(np.cumsum(sizes) - sizes, sizes)
    return result


def _weighed(
    tree: Tree,
    copies: Copies,
    step: Unknowns,
    polar: FloatArray,
    top: FloatArray,
    volume: FloatArray,
    same_arcmin: float,
) -> Readings:
    """The best copy of each set-up, and the spread about it of readings that differ, each counted once."""
    order = np.lexsort((-top, copies.setup))
    setups, start, size = np.unique(copies.setup[order], return_index=True, return_counts=True)
    table = order[np.minimum(start[:, None] + np.arange(size.max()), order.size - 1)]
    there = np.arange(size.max()) < size[:, None]
    apart = np.abs(polar[table][:, :, None] - polar[table][:, None]).max(axis=3)
    better = np.tri(size.max(), k=-1, dtype=np.bool_)
    repeated = (better & (apart < same_arcmin)).any(axis=2)
    mass = np.where(there & ~repeated, top[table] + 0.5 * volume[table], -np.inf)
    share = np.exp(mass - mass.max(axis=1, keepdims=True))
    share /= share.sum(axis=1, keepdims=True)
    best = table[:, 0]
    away = polar[table] - polar[best][:, None]
    spread = np.einsum("sr,sri,srj->sij", share, away, away)
    zero, moved = np.zeros((tree.setup_of_pair.size, 2)), np.zeros((tree.era_of_setup.size, 2))
    chosen_pairs = np.isin(copies.tree.setup_of_pair, best)
    zero[copies.pair[chosen_pairs]] = step.zero[chosen_pairs]
    moved[setups] = step.polar[best]
    return Readings(setups, Unknowns(zero, moved, np.zeros((tree.eras, 3))), spread)
