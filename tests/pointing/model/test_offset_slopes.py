"""The hand-made slopes against central differences of the exact model."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.pointing.model.geometry import AxisErrors, StarPlaces, predicted_offsets_arcmin
from obslog.pointing.model.offset_slopes import Arrived, offsets_and_slopes
from obslog.vocabulary.mounts import MountType


@pytest.mark.parametrize("mount_type", list(MountType))
@pytest.mark.parametrize("corrects_refraction", [False, True])
def test_slopes_are_differences_of_the_exact_model(mount_type, corrects_refraction):
    rng = np.random.default_rng(5)
    n = 120
    stars = StarPlaces(
        rng.uniform(-80, 80, n),
        rng.uniform(-30, 80, n),
        rng.choice([52.0, -33.0], n),
        rng.uniform(0, 4, n),
        rng.random(n) < 0.5,
    )
    values = [rng.normal(0, size, n) for size in (60, 60, 90, 90, 40, 30, 2)]
    arrived = Arrived.of(stars, mount_type, corrects_refraction)
    offsets, slopes = offsets_and_slopes(arrived, AxisErrors(*values))
    exact = predicted_offsets_arcmin(stars, mount_type, corrects_refraction, AxisErrors(*values))
    assert_allclose(offsets, exact, atol=1e-8)
    for index in range(7):
        step = np.zeros((7, 1))
        step[index] = 0.05
        ahead = predicted_offsets_arcmin(stars, mount_type, corrects_refraction, AxisErrors(*(values + step)))
        behind = predicted_offsets_arcmin(
            stars, mount_type, corrects_refraction, AxisErrors(*(values - step))
        )
        difference = (np.array(ahead) - np.array(behind)) / 0.1
        assert_allclose(slopes[:, index], difference, atol=2e-5, err_msg=f"error {index}")
