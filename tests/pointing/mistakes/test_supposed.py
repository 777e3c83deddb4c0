"""What variants of a mistake share: chances that add up, a size with its uncertainty, landings beyond the pole."""

from datetime import date

import numpy as np
from numpy.testing import assert_allclose

from obslog.pointing.mistakes.supposed import (
    FirstStars,
    LocalCircumstances,
    best_of,
    landings_at,
    mean_and_sd,
    normalised,
)
from obslog.pointing.model.frames import equatorial_direction
from obslog.vocabulary.mounts import MountType


def test_chances_add_up_to_one_however_small_they_are() -> None:
    assert_allclose(np.exp(normalised(np.log([1.0, 3.0]))), [0.25, 0.75])
    assert_allclose(np.exp(normalised(np.array([-5000.0, -5000.0]))), [0.5, 0.5])


def test_a_size_is_the_mean_of_its_variants_by_how_likely_each_is() -> None:
    # One of 10 and three of 30: the mean is 25, the variance (15^2 + 3 x 5^2) / 4 = 75.
    mean, sd = mean_and_sd(np.array([10.0, 30.0]), np.log([1.0, 3.0]))
    assert_allclose((mean, sd**2), (25.0, 75.0))


def test_the_likeliest_variant_gives_the_words() -> None:
    assert best_of(["near", "far"])(np.array([-3.0, -2.0])) == "far"


def test_a_declination_past_90_goes_over_the_pole() -> None:
    one, none = np.array([10.0]), np.zeros((1, 1))
    stars = FirstStars(
        hour_angle_deg=one, dec_deg=np.array([80.0]), ra_deg=one, tube_west=np.array([True]), landed=np.zeros((3, 1))
    )  # fmt: skip
    here = LocalCircumstances(
        mount_type=MountType.GERMAN, lat_deg=47.0, lon_deg=8.0, local_date=date(2026, 5, 11), zone_hours=2.0
    )
    landed = landings_at(stars, here, none, none + 20.0)
    assert_allclose(landed[:, 0], equatorial_direction(np.array([190.0]), np.array([80.0]), 47.0), atol=1e-12)
