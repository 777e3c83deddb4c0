"""What controllers make of their syncs, from properties that follow from the definitions."""

import numpy as np
from numpy.testing import assert_allclose

from seed_demo.controllers import correction_columns, corrections
from seed_demo.mount_model import (
    Head,
    Mechanics,
    arrival_offset_arcmin,
    axis_angles_pointing_at,
    perfect_axis_angles,
    pointing_direction,
)


def stars_around(count: int, seed: int = 0) -> np.ndarray:
    rng = np.random.default_rng(seed)
    alt, az = rng.uniform(0.5, 1.2, count), rng.uniform(-np.pi, np.pi, count)
    return np.stack([np.cos(alt) * np.cos(az), np.cos(alt) * np.sin(az), np.sin(alt)], axis=-1)


def misses_arcmin(kind: str, syncs: int, *, squareness_arcmin: float, altaz: bool = False) -> np.ndarray:
    """Radial misses of 60 stars; the first `syncs` are synced, without noise."""
    direction, count = stars_around(60), 60
    level = np.zeros(count)
    head = Head(level + 50.0, np.full(count, altaz), level + 40.0, level - 30.0)
    mechanics = Mechanics(level + 12.0, level + squareness_arcmin, level)
    west = direction[:, 1] > 0 if not altaz else np.zeros(count, dtype=bool)
    commanded = np.stack(perfect_axis_angles(direction, head, west), axis=-1)
    needed = np.stack(axis_angles_pointing_at(direction, mechanics, head, west), axis=-1) - commanded
    given = corrections(
        needed,
        correction_columns(direction, head, west),
        np.zeros(count, dtype=np.int64),
        np.arange(count) < syncs,
        np.full(count, kind == "model"),
        np.zeros((count, 2)),
    )
    angles = commanded + given
    centre = pointing_direction(angles[:, 0], angles[:, 1], mechanics, head)
    return np.asarray(np.hypot(*arrival_offset_arcmin(direction, centre, head.lat_deg)))


def test_shift_controller_lands_the_star_it_was_just_synced_on() -> None:
    needed = np.array([[0.3, -0.2], [0.3, -0.2], [0.5, 0.1], [0.5, 0.1], [9.0, 9.0]])
    given = corrections(
        needed,
        np.zeros((5, 2, 3)),
        np.array([0, 0, 0, 0, 1]),
        np.array([True, False, True, False, True]),
        np.zeros(5, dtype=bool),
        np.full((5, 2), 0.01),
    )
    # Before a set-up's first sync the home position rules; then always the last sync.
    assert_allclose(given, [[0.01, 0.01], [0.3, -0.2], [0.3, -0.2], [0.5, 0.1], [0.01, 0.01]])


def test_model_controller_removes_what_it_models() -> None:
    for altaz in (False, True):
        shift = misses_arcmin("shift", 8, squareness_arcmin=0.0, altaz=altaz)[8:]
        model = misses_arcmin("model", 8, squareness_arcmin=0.0, altaz=altaz)[8:]
        assert np.median(shift) > 10
        assert np.median(model) < np.median(shift) / 10


def test_model_controller_with_two_syncs_already_helps() -> None:
    shift = misses_arcmin("shift", 2, squareness_arcmin=0.0)[2:]
    model = misses_arcmin("model", 2, squareness_arcmin=0.0)[2:]
    assert np.median(model) < np.median(shift) / 2


def test_model_controller_leaves_squareness_in() -> None:
    model = misses_arcmin("model", 5, squareness_arcmin=20.0)[5:]
    assert 1 < np.median(model) < 20


def test_model_controller_with_one_sync_is_a_shift_controller() -> None:
    assert_allclose(
        misses_arcmin("model", 1, squareness_arcmin=5.0), misses_arcmin("shift", 1, squareness_arcmin=5.0)
    )
