"""What the joint fit is made from: the kind of machine, its arrivals, and what is expected before any is seen."""

from dataclasses import dataclass

import numpy as np

from obslog.pointing.model.frames import BoolArray, FloatArray, IntArray
from obslog.pointing.model.geometry import StarPlaces
from obslog.vocabulary.mounts import Controller, MountType

TYPICAL_NOISE_ARCMIN = 2.0
TYPICAL_NOISE_DEGREES = 8.0
"""Below so many degrees of freedom an era leans on the whole mount, and that on the typical noise."""
ZERO_SD_ARCMIN = 1200.0
"""Zero points are free: so wide a prior only keeps an unlucky set-up from being singular."""


@dataclass(frozen=True, slots=True)
class Machine:
    """What kind of mount it is and what its controller does."""

    mount_type: MountType
    controller: Controller = Controller.SHIFT
    corrects_refraction: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrivals:
    """Every arrival of one mount, in time order inside each set-up; all arrays have shape (n,).

    `setup` counts set-ups from 0. Offsets are nan where they were not measured; such arrivals still count as
    syncs. `centring_arcmin` is how well a sync's star was centred, per axis.
    """

    stars: StarPlaces
    setup: IntArray
    is_sync: BoolArray
    offset_east_arcmin: FloatArray
    offset_north_arcmin: FloatArray
    centring_arcmin: FloatArray


@dataclass(frozen=True, slots=True)
class Priors:
    """What is expected before any arrival is seen: standard deviations in arcminutes, centred on zero."""

    polar_arcmin: float = 60.0
    cone_arcmin: float = 20.0
    squareness_arcmin: float = 10.0
    sag_arcmin: float = 3.0

    def by_unknown(self) -> FloatArray:
        """In the order of the seven errors, shape (7,)."""
        zero, polar = [ZERO_SD_ARCMIN] * 2, [self.polar_arcmin] * 2
        return np.array([*zero, *polar, self.cone_arcmin, self.squareness_arcmin, self.sag_arcmin])
