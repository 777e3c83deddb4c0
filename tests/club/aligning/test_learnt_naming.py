"""A club's past makes the naming of its mistakes better, and nobody is accused for it: counted on invented clubs.

The large count is `python -m tests.benchmarks.mistake_naming`.
"""

import numpy as np
import pytest

from tests.club.aligning.mistaken_clubs import false_names, naming_of

CLUBS, SETUPS = range(20), 150


@pytest.mark.parametrize("own", [False, True])
def test_naming_with_a_past_is_better_or_as_good(own: bool) -> None:
    plain, moved = naming_of(CLUBS, own=own, count=8)
    assert plain.all > 100
    assert plain.right > 0.7 * plain.all, "what is moved is worth something"
    # habits of its own are what there is to be learnt; of those of everybody there is nothing, and chance remains
    slack = 0 if own else 0.02 * plain.all
    assert moved.right >= plain.right - slack
    assert moved.wrong <= plain.wrong + slack
    assert np.mean(moved.chances) > np.mean(plain.chances) + (0.01 if own else -0.005)


def test_set_ups_without_a_mistake_are_seldom_named_one() -> None:
    """By Rayleigh's law e^-4.5, one in 90, stands over three degrees off at all."""
    plain, moved = np.sum([false_names(seed, SETUPS) for seed in CLUBS], axis=0) / (len(CLUBS) * SETUPS)
    assert plain < 0.05
    assert moved < 0.05
    assert moved < plain + 0.005
