"""Which stars lie apart from those that were chosen, as the checklist asks of the stars of one alignment."""

import numpy as np

from obslog.pointing.model.frames import BoolArray, FloatArray, IntArray, az_alt_deg
from obslog.pointing.model.geometry import StarPlaces
from obslog.vocabulary.mounts import MountType

APART_HOUR_ANGLE_DEG = 45.0
APART_AZIMUTH_DEG = 90.0
"""Common practice: three hours on one side of the meridian; for an alt-azimuth mount a quarter of the horizon."""


def lying_apart(mount_type: MountType, stars: StarPlaces, chosen: IntArray) -> BoolArray:
    """Which stars (n,) may stand beside those chosen (k,): both sides of the meridian come first, then three hours.

    Of an alt-azimuth mount those that are a quarter of the horizon from each of the chosen.
    """
    if mount_type is MountType.ALTAZ:
        az_deg, _ = az_alt_deg(stars.airless())
        far: BoolArray = _between_deg(az_deg, az_deg[chosen]) >= APART_AZIMUTH_DEG
        return np.asarray(far.all(axis=1))
    east = stars.hour_angle_deg < 0.0
    if np.unique(east[chosen]).size == 1:
        return np.asarray(east != east[chosen[0]])
    away = _between_deg(stars.hour_angle_deg, stars.hour_angle_deg[chosen]) >= APART_HOUR_ANGLE_DEG
    return np.asarray((away | (east[:, None] != east[chosen])).all(axis=1))


def _between_deg(one: FloatArray, other: FloatArray) -> FloatArray:
    """The angles round a circle between each of one (n,) and each of the other (k,), (n, k)."""
    return np.abs((one[:, None] - other + 180.0) % 360.0 - 180.0)
