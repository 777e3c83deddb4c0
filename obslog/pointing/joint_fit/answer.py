"""What a joint fit answers, as estimates a person can read and arrays a picture can be drawn from."""

from dataclasses import dataclass

from obslog.errors import ObslogError
from obslog.pointing.model.frames import FloatArray
from obslog.values import Estimate


class NothingMeasured(ObslogError):
    def __init__(self) -> None:
        super().__init__(
            "No arrival of this mount can be used: none has a measured offset with a sync to judge it by.",
            "Record at least one sync and, after it, how far east and north some stars arrived.",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """An arrival that is probably not what was written: its number, the probability, and how far off it is.

    `east_arcmin` and `north_arcmin` are what was written minus what the mount predicts; for a sync whose
    centring is doubted (`at_centring`) they say where the accepted star stood from the one meant.
    """

    arrival: int
    probability: float
    east_arcmin: float
    north_arcmin: float
    at_centring: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MechanicalFit:
    """What belongs to a mount and tube through one mechanical era; covariance (3, 3), arcminutes squared."""

    cone: Estimate
    squareness: Estimate
    sag: Estimate
    noise: Estimate
    covariance: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class PolarFit:
    """What belonged to one set-up. For alt-azimuth mounts the polar errors are the base's lean north and
    east.

    `rms_arcmin` is per axis, of the arrivals weighted with their probability of being good; nan without
    arrivals.
    """

    polar_altitude: Estimate
    polar_azimuth: Estimate
    separation: Estimate
    covariance: FloatArray
    arrivals: int
    rms_arcmin: float
    suspects: tuple[Suspect, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PointingFit:
    """The whole answer.

    `noise_arcmin` is the scatter per axis of good arrivals at the field centre; `reading_share` is what the
    eye adds, as a share of the way from the centre; each era has a noise of its own. Residuals (seen minus
    predicted) are (n,), nan where an arrival was not used.
    """

    noise_arcmin: Estimate
    reading_share: float
    wrong_share: float
    mechanical: tuple[MechanicalFit, ...]
    setups: tuple[PolarFit, ...]
    residual_east_arcmin: FloatArray
    residual_north_arcmin: FloatArray
