"""A sky of stars to plan with."""

import numpy as np
import pytest

from obslog.pointing.planning.observable import Candidates
from obslog.vocabulary.mounts import MountType
from tests.pointing.joint_fit.pointing_clubs import random_stars


@pytest.fixture(scope="module")
def sky():
    rng = np.random.default_rng(3)
    stars = random_stars(rng, 150, 52.0, MountType.GERMAN)
    magnitude = rng.uniform(0, 3, 150)
    return Candidates(
        stars=stars,
        magnitude=magnitude,
        hard_to_find=magnitude,
        moon_deg=np.full(150, 90.0),
        sun_deg=np.full(150, np.nan),
    )
