"""Two checks after a sync, chosen to settle one error of the mount that a fit leaves open."""

from dataclasses import dataclass

import numpy as np

from obslog.pointing.joint_fit.arrivals import ZERO_SD_ARCMIN, Machine
from obslog.pointing.model.frames import FloatArray
from obslog.pointing.planning.expected_landing import Design
from obslog.pointing.planning.observable import Candidates, ObservableLimits, in_sight
from obslog.pointing.planning.run_plan import CENTRING_ARCMIN, NOISE_ARCMIN, star_information
from obslog.pointing.planning.star_choice import TooFewStars
from obslog.vocabulary.mounts import MECHANICAL_TERMS


@dataclass(frozen=True, slots=True)
class SettlingPair:
    """Two stars to check after a sync, and the sd of the error in question after them, arcminutes."""

    stars: tuple[int, int]
    sd_arcmin: float


def settling_pair(
    candidates: Candidates,
    limits: ObservableLimits,
    machine: Machine,
    mechanical_covariance: FloatArray,
    term: str,
    sync: int,
    polar_sd_arcmin: float = 60.0,
    noise_arcmin: float = NOISE_ARCMIN,
    centring_arcmin: float = CENTRING_ARCMIN,
) -> SettlingPair:
    """The pair that settles a term best in one set-up, after a sync on candidate `sync`.

    The term is `cone`, `squareness` or `sag`. `mechanical_covariance` (3, 3) is what the fit knows already. Every pair
    is tried. Raises TooFewStars.
    """
    usable = np.flatnonzero(in_sight(candidates, limits))
    usable = usable[usable != sync]
    if usable.size < 2:
        raise TooFewStars(2, usable.size)
    columns = Design.of(machine, candidates.stars, candidates.stars).stars[:, :, :7]
    known = np.diag(np.repeat([ZERO_SD_ARCMIN, polar_sd_arcmin, np.inf], [2, 2, 3]) ** -2.0)
    known[4:, 4:] = np.linalg.inv(mechanical_covariance)
    known += star_information(columns[sync], centring_arcmin)
    told = np.einsum("nai,naj->nij", columns[usable], columns[usable]) / noise_arcmin**2
    first, second = np.triu_indices(usable.size, 1)
    place = 4 + list(MECHANICAL_TERMS).index(term)
    variance = np.concatenate(
        [
            np.linalg.inv(known + told[first[part]] + told[second[part]])[:, place, place]
            for part in np.array_split(np.arange(first.size), first.size // 20_000 + 1)
        ]
    )
    best = int(np.argmin(variance))
    pair = int(usable[first[best]]), int(usable[second[best]])
    return SettlingPair(pair, float(np.sqrt(variance[best])))
