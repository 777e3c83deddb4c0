"""How the arrivals of one set-up become the rows of its fit, and where that fit begins."""

from dataclasses import dataclass

import numpy as np

from obslog.pointing.joint_fit.arrivals import Arrivals, Machine
from obslog.pointing.joint_fit.rows import fit_rows
from obslog.pointing.model.frames import BoolArray, FloatArray, IntArray
from obslog.pointing.model.geometry import AxisErrors, StarPlaces, some_stars, zero_points_arcmin

FARTHEST_BEFORE_A_SYNC_ARCMIN = 300.0
"""A first star that stood farther off was not judged to arcminutes: it tells of a mistake, not of the axis."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SetupRows:
    """The rows (m,) that carry information, offsets (2, m), in order of their zero-point pairs.

    `arrival` points into the arrivals. `fixed_sd_arcmin` is a sync's centring error, nan for measured arrivals.
    `zero_start` (pairs, 2) are zero points to begin with.
    """

    arrival: IntArray
    is_centring: BoolArray
    offsets_arcmin: FloatArray
    fixed_sd_arcmin: FloatArray
    pair: IntArray
    stars: StarPlaces
    zero_start: FloatArray


def setup_rows(machine: Machine, arrivals: Arrivals, mechanical: FloatArray) -> SetupRows:
    """The rows of a set-up, as the joint fit of all nights takes them, but for stars far off before any sync."""
    rows = fit_rows(machine, _near_ones(arrivals), np.zeros(1, dtype=np.int64))
    stars = some_stars(arrivals.stars, rows.arrival)
    return SetupRows(
        arrival=rows.arrival,
        is_centring=rows.is_centring,
        offsets_arcmin=rows.offsets_arcmin,
        fixed_sd_arcmin=rows.fixed_sd_arcmin,
        pair=rows.tree.pair_of_row,
        stars=stars,
        zero_start=_zero_start(machine, stars, rows.is_centring, rows.tree.pair_of_row, mechanical),
    )


def _near_ones(arrivals: Arrivals) -> Arrivals:
    """The arrivals, what was measured far off before the first sync taken as not measured."""
    before: BoolArray = np.cumsum(arrivals.is_sync) - arrivals.is_sync == 0
    away = np.hypot(arrivals.offset_east_arcmin, arrivals.offset_north_arcmin)
    far = before & (away > FARTHEST_BEFORE_A_SYNC_ARCMIN)
    return Arrivals(
        stars=arrivals.stars,
        setup=np.zeros(arrivals.is_sync.size, dtype=np.int64),
        is_sync=arrivals.is_sync,
        offset_east_arcmin=np.where(far, np.nan, arrivals.offset_east_arcmin),
        offset_north_arcmin=np.where(far, np.nan, arrivals.offset_north_arcmin),
        centring_arcmin=arrivals.centring_arcmin,
    )


def _zero_start(
    machine: Machine, stars: StarPlaces, is_centring: BoolArray, pair: IntArray, mechanical: FloatArray
) -> FloatArray:
    """The zero points that the syncs gave if the axis stood right; nought before the first sync."""
    result = np.zeros((int(pair.max(initial=-1)) + 1, 2))
    if is_centring.any():
        errors = AxisErrors(0.0, 0.0, 0.0, 0.0, *mechanical)
        synced = some_stars(stars, is_centring)
        zeros = zero_points_arcmin(synced, machine.mount_type, machine.corrects_refraction, errors)
        result[pair[is_centring]] = np.nan_to_num(np.stack(zeros, axis=1))
    return result
