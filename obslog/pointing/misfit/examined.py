"""The joint fit, and what it leaves out: found, it becomes a part of the fit; what is not explained widens it."""

from dataclasses import dataclass

import numpy as np

from obslog.pointing.joint_fit.answer import PointingFit
from obslog.pointing.joint_fit.arrivals import Arrivals, Machine, Priors
from obslog.pointing.joint_fit.elimination import MECHANICAL
from obslog.pointing.joint_fit.estimates import Solution, gathered
from obslog.pointing.joint_fit.fit import azimuth_factor, solved
from obslog.pointing.joint_fit.rows import FitRows
from obslog.pointing.misfit.apart import OwnFits
from obslog.pointing.misfit.circumstances import Circumstances
from obslog.pointing.misfit.columns import columns_of
from obslog.pointing.misfit.scatter_change import ScatterChange, scatter_change
from obslog.pointing.misfit.search import FoundMisfit, search
from obslog.pointing.misfit.widened import widened
from obslog.pointing.model.frames import FloatArray, IntArray
from obslog.values import Estimate

SEED = 20261128
"""The draws of chance are the same each time, so that the same arrivals get the same answer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Examined:
    """A fit that allows for what was found, and what that is; and the arrays of the fit, for who goes on from there.

    `others` (2, q, m) are the columns of what else is at work by the rows of the solution, `expected_arcmin` (q,) how
    large each was expected to be. `scatters` says from when on arrivals scatter otherwise than `scatter_before`.
    """

    fit: PointingFit
    left_out: FoundMisfit
    solution: Solution
    others: FloatArray
    expected_arcmin: FloatArray
    scatters: ScatterChange | None = None
    scatter_before: Estimate | None = None


def examine(
    machine: Machine, arrivals: Arrivals, era_of_setup: IntArray, circumstances: Circumstances
) -> Examined:
    """The joint fit with its eras split where the mount changed, with what else is at work taken out of the
    offsets, and its uncertainties widened by what is left. Raises NothingMeasured.
    """
    prior_sd = Priors().by_unknown()
    setups = era_of_setup.size
    columns = columns_of(machine, arrivals, circumstances)
    own = OwnFits.of(machine, arrivals, setups, columns)
    found = search(own, columns, era_of_setup, prior_sd[MECHANICAL], np.random.default_rng(SEED))
    at_work = columns.chosen(found.columns)

    def moved_by_others(rows: FitRows) -> FloatArray:
        values = at_work.of_rows(rows.arrival, rows.is_centring)
        moved: FloatArray = np.einsum("aqm,q->am", values, found.effects.values)
        return moved

    solution = solved(machine, arrivals, found.eras, moved_by_others=moved_by_others)
    scatters = scatter_change(solution, found.eras, circumstances.observers)
    if scatters is not None:
        solution = solved(
            machine, arrivals, found.eras, moved_by_others=moved_by_others, scatters_since=scatters.setup
        )
    factor = azimuth_factor(machine, arrivals, setups)
    fit = gathered(solution, arrivals.setup.size, factor)
    others = at_work.of_rows(solution.rows.arrival, solution.rows.is_centring)
    expected = columns.expected_arcmin[list(found.columns)]
    return Examined(
        fit=widened(fit, solution, others, expected, found.scale, factor),
        left_out=found,
        solution=solution,
        others=others,
        expected_arcmin=expected,
        scatters=scatters,
        scatter_before=_scatter_before(solution) if scatters else None,
    )


def _scatter_before(solution: Solution) -> Estimate:
    """The scatter in the last era before it changed."""
    return solution.scatter.estimates(solution.rows, solution.residuals, solution.good)[1][-2]
