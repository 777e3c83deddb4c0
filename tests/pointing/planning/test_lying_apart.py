"""Stars of one alignment stand on both sides of the meridian, and three hours apart on one."""

import numpy as np
import pytest

from obslog.pointing.model.frames import horizontal_direction, hour_angle_dec_deg
from obslog.pointing.model.geometry import StarPlaces
from obslog.pointing.planning.lying_apart import lying_apart
from obslog.vocabulary.mounts import MountType


def at_hours(*hours):
    """Stars of the equator by their hour angles, west positive."""
    hour_angle_deg = np.array(hours, dtype=float) * 15.0
    zeros = np.zeros(len(hours))
    return StarPlaces(hour_angle_deg, zeros, zeros + 52.0, zeros, hour_angle_deg < 0)


def at_azimuths(*az_deg):
    zeros = np.zeros(len(az_deg))
    hour_angle_deg, dec_deg = hour_angle_dec_deg(horizontal_direction(np.array(az_deg), zeros + 45.0), 52.0)
    return StarPlaces(hour_angle_deg, dec_deg, zeros + 52.0, zeros, hour_angle_deg < 0)


@pytest.mark.parametrize("mount_type", [MountType.GERMAN, MountType.FORK])
def test_after_stars_on_one_side_of_the_meridian_comes_one_on_the_other(mount_type):
    stars = at_hours(4.5, 1.0, 3.0, -0.5, -4.0)
    assert lying_apart(mount_type, stars, np.array([0])).tolist() == [False, False, False, True, True]
    assert lying_apart(mount_type, stars, np.array([0, 1])).tolist() == [False, False, False, True, True]


def test_with_stars_on_both_sides_the_next_is_three_hours_from_that_on_its_own():
    stars = at_hours(4.5, -0.5, 1.4, 1.6, -3.4, -3.6)
    assert lying_apart(MountType.GERMAN, stars, np.array([0, 1])).tolist() == [
        False, False, True, False, False, True,
    ]  # fmt: skip


def test_below_the_pole_hours_are_counted_through_midnight():
    stars = at_hours(11.0, -11.0, 9.0, 7.0)
    assert lying_apart(MountType.GERMAN, stars, np.array([0, 1])).tolist() == [False, False, False, True]


def test_for_an_alt_azimuth_mount_they_are_a_quarter_of_the_horizon_apart():
    stars = at_azimuths(350.0, 10.0, 79.0, 81.0, 200.0, 261.0)
    assert lying_apart(MountType.ALTAZ, stars, np.array([0])).tolist() == [
        False, False, False, True, True, False,
    ]  # fmt: skip
    assert lying_apart(MountType.ALTAZ, stars, np.array([0, 4])).tolist() == [
        False, False, False, True, False, False,
    ]  # fmt: skip
