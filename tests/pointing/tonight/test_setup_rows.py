"""Which arrivals of a set-up tell of its axis."""

import numpy as np
from numpy.testing import assert_allclose

from obslog.pointing.joint_fit.arrivals import Arrivals, Machine
from obslog.pointing.model.geometry import AxisErrors, predicted_offsets_arcmin
from obslog.pointing.tonight.setup_rows import setup_rows
from obslog.vocabulary.mounts import MountType
from tests.pointing.joint_fit.pointing_clubs import simulate

GERMAN = Machine(MountType.GERMAN)


def with_first_stars(away_arcmin: float) -> Arrivals:
    """Two checks before the sync, and three after it."""
    club = simulate(np.random.default_rng(1), GERMAN, setups=1, checks=5)
    offsets = club.arrivals.offset_east_arcmin.copy()
    offsets[:2] = away_arcmin
    return Arrivals(
        stars=club.arrivals.stars, setup=club.arrivals.setup, is_sync=np.arange(6) == 2, offset_east_arcmin=offsets,
        offset_north_arcmin=np.nan_to_num(club.arrivals.offset_north_arcmin),
        centring_arcmin=club.arrivals.centring_arcmin,
    )  # fmt: skip


def test_stars_near_the_field_before_a_sync_are_heard_and_those_hours_away_are_not():
    near = setup_rows(GERMAN, with_first_stars(50.0), np.zeros(3))
    assert sorted(near.arrival.tolist()) == [0, 1, 2, 2, 3, 4, 5]
    far = setup_rows(GERMAN, with_first_stars(900.0), np.zeros(3))
    assert sorted(far.arrival.tolist()) == [2, 3, 4, 5]


def test_the_fit_begins_where_the_synced_star_stands_in_the_centre():
    mechanical = np.array([10.0, -4.0, 2.0])
    rows = setup_rows(GERMAN, with_first_stars(900.0), mechanical)
    zero = rows.zero_start[rows.pair]
    east, north = predicted_offsets_arcmin(
        rows.stars, MountType.GERMAN, False, AxisErrors(zero[:, 0], zero[:, 1], 0.0, 0.0, *mechanical)
    )
    assert_allclose(east[rows.is_centring], 0.0, atol=1e-6)
    assert_allclose(north[rows.is_centring], 0.0, atol=1e-6)
