"""What a suspect arrival would fit: the slips of pen and eye that bring it back to where the mount says."""

from dataclasses import dataclass

import numpy as np

from obslog.pointing.joint_fit.answer import Suspect

Turn = tuple[tuple[float, float], tuple[float, float]]

SLIPS: tuple[tuple[str, Turn], ...] = (
    ("if east and west were exchanged", ((-1.0, 0.0), (0.0, 1.0))),
    ("if north and south were exchanged", ((1.0, 0.0), (0.0, -1.0))),
    ("if the field centre was measured from the star", ((-1.0, 0.0), (0.0, -1.0))),
    ("if the two offsets changed places", ((0.0, 1.0), (1.0, 0.0))),
    ("if degrees were written for arcminutes", ((60.0, 0.0), (0.0, 60.0))),
    ("if arcseconds were written for arcminutes", ((1.0 / 60.0, 0.0), (0.0, 1.0 / 60.0))),
    ("if the decimal point slipped left", ((10.0, 0.0), (0.0, 10.0))),
    ("if the decimal point slipped right", ((0.1, 0.0), (0.0, 0.1))),
)
NEAR_SD = 3.0


@dataclass(frozen=True, slots=True)
class SuspectReading:
    """One way to read a suspect arrival, and how far it then is from the prediction, arcminutes."""

    words: str
    miss_arcmin: float


def fitting_readings(
    suspect: Suspect, written_east_arcmin: float, written_north_arcmin: float, noise_arcmin: float
) -> list[SuspectReading]:
    """The slips that would bring a suspect within three times the noise of the prediction, nearest first.

    Always ends with the wrong star that would explain it, which fits exactly. For a sync whose centring is
    doubted nothing was written, and the wrong star is the only reading.
    """
    away_east, away_north = suspect.east_arcmin, suspect.north_arcmin
    readings = []
    if not suspect.at_centring:
        written = np.array([written_east_arcmin, written_north_arcmin])
        predicted = written - (away_east, away_north)
        for words, turn in SLIPS:
            miss = float(np.hypot(*(np.array(turn) @ written - predicted)))
            if miss < NEAR_SD * noise_arcmin:
                readings.append(SuspectReading(words, miss))
    readings.sort(key=lambda reading: reading.miss_arcmin)
    east, north = ("east" if away_east >= 0 else "west"), ("north" if away_north >= 0 else "south")
    place = f"{abs(away_east):.0f}' {east} and {abs(away_north):.0f}' {north}"
    star = f"if another star was taken: one {place} of the right one"
    return [*readings, SuspectReading(star, 0.0)]
