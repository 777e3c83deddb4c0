"""The places that were really visited after a sync, and how far each error throws a go-to off there.

A sync takes up what an error does at its own star; what the error does more or less than that at another star is left.
Offsets are of second order in the errors, so the slopes half way between a perfect mount and this one are used: they
give the whole offset but for terms of third order (0.03' where the axis is two degrees off).
"""

from dataclasses import dataclass

import numpy as np

from obslog.pointing.joint_fit.arrivals import Arrivals, Machine
from obslog.pointing.misfit.examined import Examined
from obslog.pointing.model.frames import BoolArray, FloatArray, IntArray
from obslog.pointing.model.geometry import AxisErrors, some_stars
from obslog.pointing.model.offset_slopes import ERRORS, Arrived, offsets_and_slopes

ZERO_POINTS = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Visited:
    """The go-tos after a sync, (v,), in rows of the fit, each with the row of its sync.

    `observed` (2, v) is where the star stood; `effect` (2, 5 + q, v) how far 1' of two polar errors, cone, squareness,
    sag and what else is at work throws it off; `slip` (2, 2, v) what the sync's star, that much off centre, does;
    `refraction` (2, v) what the air does.
    """

    row: IntArray
    sync: IntArray
    observed: FloatArray
    effect: FloatArray
    slip: FloatArray
    refraction: FloatArray


def visited(machine: Machine, arrivals: Arrivals, examined: Examined, setups: BoolArray) -> Visited:
    """The measured arrivals after a sync in those set-ups (k,) whose zero points are known to the fit."""
    rows = examined.solution.rows
    tree = rows.tree
    sync_of_pair = np.full(tree.setup_of_pair.size, -1)
    centred = np.flatnonzero(rows.is_centring)
    sync_of_pair[tree.pair_of_row[centred]] = centred
    sync = sync_of_pair[tree.pair_of_row]
    asked = setups[rows.setup_number[tree.setup_of_row]]
    row = np.flatnonzero(~rows.is_centring & (sync >= 0) & asked)
    effect, air = _half_way(machine, arrivals, examined, row)
    at_sync, air_at_sync = _half_way(machine, arrivals, examined, sync[row])
    taken_up = np.einsum("aiv,vij->ajv", effect[:, :ZERO_POINTS], _inverse(at_sync[:, :ZERO_POINTS]))
    moved = np.einsum("aqm,q->am", examined.others, examined.left_out.effects.values)
    return Visited(
        row=row,
        sync=sync[row],
        observed=(rows.offsets_arcmin + moved)[:, row],
        effect=effect[:, ZERO_POINTS:] - np.einsum("ajv,jqv->aqv", taken_up, at_sync[:, ZERO_POINTS:]),
        slip=-taken_up,
        refraction=air - np.einsum("ajv,jv->av", taken_up, air_at_sync),
    )


def _half_way(
    machine: Machine, arrivals: Arrivals, examined: Examined, rows: IntArray
) -> tuple[FloatArray, FloatArray]:
    """Slopes (2, 7 + q, v) of those rows with half of all errors, and their offsets (2, v) without any."""
    solution = examined.solution
    places = some_stars(arrivals.stars, solution.rows.arrival[rows])
    arrived = Arrived.of(places, machine.mount_type, machine.corrects_refraction)
    errors = solution.unknowns.by_pair(solution.rows.tree)[:, solution.rows.tree.pair_of_row[rows]]
    _, slopes = offsets_and_slopes(arrived, AxisErrors(*(errors / 2.0)))
    without, _ = offsets_and_slopes(arrived, AxisErrors(*np.zeros((ERRORS, rows.size))))
    return np.concatenate([slopes, examined.others[:, :, rows]], axis=1), without


def _inverse(slopes: FloatArray) -> FloatArray:
    """Of slopes (2, 2, v): (v, 2, 2)."""
    result: FloatArray = np.linalg.inv(slopes.transpose(2, 0, 1)).astype(np.float64, copy=False)
    return result
