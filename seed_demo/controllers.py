"""What controllers make of their syncs: the corrections in force at each arrival, for both kinds.

`shift` sets both zero points anew at every sync. `model` does the same with its first sync; from the second
on it fits, by least squares with modest expectations (60' for the head, 20' for cone), two zero points, the
two head errors and cone to all its syncs so far. It knows nothing of squareness and sag, which it leaves
in: most of the error goes, not all.
"""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from .mount_model import Flags, Floats, Head, Mechanics, axis_angles_pointing_at

Indices = NDArray[np.int64]

# What the fitted model expects before it has seen a star: zero points, altitude, azimuth, cone; and its
# star noise.
EXPECTED_ARCMIN = np.array([6000.0, 6000.0, 60.0, 60.0, 20.0])
STAR_NOISE_ARCMIN = 1.0


def correction_columns(direction: Floats, head: Head, tube_west: Flags) -> Floats:
    """How far an arcminute of head altitude, head azimuth and cone moves the two axis angles: (n, 2, 3)."""
    none = np.zeros(len(direction))
    faultless = Mechanics(none, none, none)
    level = replace(head, altitude_arcmin=none, azimuth_arcmin=none)
    one = none + 1.0
    cases = [
        (faultless, replace(level, altitude_arcmin=one)),
        (faultless, replace(level, azimuth_arcmin=one)),
        (replace(faultless, cone_arcmin=one), level),
    ]
    start = np.stack(axis_angles_pointing_at(direction, faultless, level, tube_west), axis=-1)
    moved = [
        np.stack(axis_angles_pointing_at(direction, mechanics, tilted, tube_west), axis=-1) - start
        for mechanics, tilted in cases
    ]
    return wrapped(np.stack(moved, axis=-1))


def wrapped(angle: Floats) -> Floats:
    """Angles (radians) brought within half a turn of zero."""
    return np.remainder(angle + np.pi, 2 * np.pi) - np.pi


def corrections(
    needed: Floats, columns: Floats, setup: Indices, synced: Flags, builds_model: Flags, home: Floats
) -> Floats:
    """The corrections (n, 2), radians, added to the axis angles of each arrival's catalogue place.

    `needed` (n, 2) is what would have put each target in the centre; only the syncs' values are known
    to it. Arrivals are in order of time within a set-up; before the first sync the home position's
    error `home` (n, 2) is in force.
    """
    given = home.copy()
    seen: list[int] = []
    for row in range(len(setup)):
        if row and setup[row] != setup[row - 1]:
            seen = []
        if seen:
            given[row] = correction(needed[seen], columns[seen], columns[row], bool(builds_model[row]))
        if synced[row]:
            seen = [*seen, row]
    return given


def correction(needed: Floats, columns: Floats, here: Floats, builds_model: bool) -> Floats:
    """The correction (2,) at one place after the syncs in `needed` (k, 2)."""
    if not builds_model or len(needed) == 1:
        return np.asarray(needed[-1], dtype=np.float64)
    # Unwrapped around the first sync, so that a zero point near half a turn does not split.
    start = needed[0]
    design = np.concatenate([np.broadcast_to(np.eye(2), (len(needed), 2, 2)), columns], axis=-1).reshape(
        -1, 5
    )
    seen = wrapped(needed - start).reshape(-1)
    # Columns are per arcminute for head and cone; zero points are in radians, so give both the same unit.
    scale = np.array([np.pi / 10800, np.pi / 10800, 1.0, 1.0, 1.0]) * EXPECTED_ARCMIN
    noise = STAR_NOISE_ARCMIN * np.pi / 10800
    weighted = design * scale / noise
    unit = np.linalg.solve(weighted.T @ weighted + np.eye(5), weighted.T @ (seen / noise))
    value = np.concatenate([np.eye(2), here], axis=-1) @ (scale * unit)
    return np.asarray(start + value, dtype=np.float64)
