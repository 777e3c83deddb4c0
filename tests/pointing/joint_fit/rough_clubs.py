"""The stories by which coverage is counted: nothing amiss, one arrival in ten wrong, and heavy tails."""

from typing import Any

import numpy as np

from obslog.pointing.joint_fit.arrivals import Machine
from tests.pointing.joint_fit.pointing_clubs import Club, simulate

HEAVY_TAILS = "heavy tails"
STORIES: dict[str, dict[str, Any]] = {
    "nothing amiss": {},
    "one arrival in ten wrong": {"wrong_share": 0.1},
    HEAVY_TAILS: {"tail_degrees": 3.0},
}
"""Student's t with three degrees of freedom: (1 + 16 / 3)^-1.5, one in 16, lies over four times the scatter off."""


def club_of(story: str, seed: int, machine: Machine, **how: Any) -> Club:
    """A club of that story."""
    return simulate(np.random.default_rng(seed), machine, **(STORIES[story] | how))
