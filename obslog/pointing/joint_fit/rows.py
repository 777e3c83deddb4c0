"""How arrivals become rows of the joint fit.

A row is either an arrival that was measured, judged against the zero points in force when the mount was sent
there, or a sync, which says that with the new zero points the star stood in the field centre to within the
centring error.
"""

from dataclasses import dataclass

import numpy as np

from obslog.pointing.joint_fit.arrivals import Arrivals, Machine
from obslog.pointing.joint_fit.elimination import Tree
from obslog.pointing.model.frames import BoolArray, FloatArray, IntArray
from obslog.vocabulary.mounts import Controller


@dataclass(frozen=True, slots=True, kw_only=True)
class FitRows:
    """The rows of the fit, sorted by zero-point pair: shape (m,), offsets (2, m).

    `arrival` points into the arrivals; `fixed_sd_arcmin` is a sync's centring error and nan for measured
    arrivals, whose noise is estimated. `setup_number` says which of the caller's set-ups each of the tree's
    set-ups is. `scatters_since` is the first of the tree's set-ups, inside the last era, that scatter otherwise than
    those before.
    """

    arrival: IntArray
    is_centring: BoolArray
    offsets_arcmin: FloatArray
    fixed_sd_arcmin: FloatArray
    setup_number: IntArray
    tree: Tree
    scatters_since: int | None = None

    @property
    def noise_era_of_row(self) -> IntArray:
        """The eras of one scatter each, (m,): the mechanical ones, and one more where it changed in the last."""
        if self.scatters_since is None:
            return self.tree.era_of_row
        return self.tree.era_of_row + (self.tree.setup_of_row >= self.scatters_since)

    @property
    def noise_eras(self) -> int:
        return self.tree.eras + (self.scatters_since is not None)


def syncs_before(arrivals: Arrivals) -> IntArray:
    """How many syncs the set-up had seen before each arrival, shape (n,)."""
    order = np.argsort(arrivals.setup, kind="stable")
    sync, setup = arrivals.is_sync[order].astype(np.int64), arrivals.setup[order]
    seen = np.cumsum(sync) - sync
    first = np.searchsorted(setup, setup)
    result = np.empty_like(seen)
    result[order] = seen - seen[first]
    return result


def fit_rows(machine: Machine, arrivals: Arrivals, era_of_setup: IntArray) -> FitRows:
    """The rows that carry information about the mount, and how they nest.

    A `model` controller gives only what came before its second sync. A zero-point pair with a single row is
    left out: it takes up as many unknowns as it gives values.
    """
    before = syncs_before(arrivals)
    measured = np.isfinite(arrivals.offset_east_arcmin) & np.isfinite(arrivals.offset_north_arcmin)
    centred = arrivals.is_sync.copy()
    if machine.controller is Controller.MODEL:
        measured &= before <= 1
        centred &= before == 0
    arrival = np.concatenate([np.flatnonzero(measured), np.flatnonzero(centred)])
    is_centring = np.arange(arrival.size) >= np.count_nonzero(measured)
    key = arrivals.setup[arrival] * (before.max(initial=0) + 2) + before[arrival] + is_centring
    _, pair, size = np.unique(key, return_inverse=True, return_counts=True)
    order = np.argsort(pair, kind="stable")
    order = order[size[pair[order]] > 1]
    return _rows_in_order(arrivals, era_of_setup, arrival[order], is_centring[order], pair[order])


def _rows_in_order(
    arrivals: Arrivals, era_of_setup: IntArray, arrival: IntArray, is_centring: BoolArray, pair: IntArray
) -> FitRows:
    _, first_row, pair_of_row = np.unique(pair, return_index=True, return_inverse=True)
    setup_number, setup_of_pair = np.unique(arrivals.setup[arrival[first_row]], return_inverse=True)
    offsets = np.stack([arrivals.offset_east_arcmin[arrival], arrivals.offset_north_arcmin[arrival]])
    eras = int(era_of_setup.max(initial=-1)) + 1
    return FitRows(
        arrival=arrival,
        is_centring=is_centring,
        offsets_arcmin=np.where(is_centring, 0.0, offsets),
        fixed_sd_arcmin=np.where(is_centring, arrivals.centring_arcmin[arrival], np.nan),
        setup_number=setup_number,
        tree=Tree.of(pair_of_row, setup_of_pair, era_of_setup[setup_number], eras),
    )
