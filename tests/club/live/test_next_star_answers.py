"""The next star, and the landing with its eyepiece."""

import numpy as np
import pytest

from obslog.club.live.next_star_answers import direction_words


@pytest.mark.parametrize(
    ("az_deg", "words"),
    [(0.0, "north"), (22.0, "north"), (23.0, "north-east"), (90.0, "east"), (200.0, "south"), (203.0, "south-west"),
     (337.0, "north-west"), (338.0, "north"), (359.9, "north")],
)  # fmt: skip
def test_directions_are_the_nearest_of_eight_points(az_deg, words):
    assert direction_words(az_deg) == words


def test_all_points_are_named_once_round_the_horizon():
    assert len({direction_words(float(az)) for az in np.arange(0, 360, 45)}) == 8
