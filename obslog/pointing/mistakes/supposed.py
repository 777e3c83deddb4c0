"""A mistake that is supposed: its variants, where each would have the first stars land, and how it is told."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

import numpy as np

from obslog.pointing.model.frames import BoolArray, FloatArray, equatorial_direction
from obslog.vocabulary.mistakes import Cause
from obslog.vocabulary.mounts import MountType


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstStars:
    """The first stars of a set-up, in order, before any sync; shape (n,).

    Apparent places as in the joint fit; `ra_deg` of date; `landed` (3, n) is where the mount pointed.
    """

    hour_angle_deg: FloatArray
    dec_deg: FloatArray
    ra_deg: FloatArray
    tube_west: BoolArray
    landed: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class LocalCircumstances:
    """Where and when, as they truly are; zone as hours ahead of universal time; the club's other sites."""

    mount_type: MountType
    lat_deg: float
    lon_deg: float
    local_date: date
    zone_hours: float
    other_sites: tuple[tuple[str, float, float], ...] = ()
    """Name, latitude and longitude in degrees."""


@dataclass(frozen=True, slots=True)
class BrightStars:
    """Stars that could be taken for the right one, shape (m,), with their names and apparent places now."""

    names: tuple[str, ...]
    hour_angle_deg: FloatArray
    dec_deg: FloatArray
    magnitude: FloatArray


@dataclass(frozen=True, slots=True)
class Supposed:
    """A mistake's variants: log shares (m,), landings (3, m, n), and words once scores (m,) are known."""

    cause: Cause
    log_share: FloatArray
    directions: FloatArray
    particulars: Callable[[FloatArray], str]


def turned(
    stars: FirstStars,
    circumstances: LocalCircumstances,
    cause: Cause,
    shifts_deg: list[float],
    words: list[str],
) -> Supposed:
    """A mistake with a few variants, alike in likelihood, that put the sidereal time ahead by degrees."""
    share = normalised(np.zeros(len(shifts_deg)))
    return Supposed(cause, share, west_of(stars, circumstances, np.array(shifts_deg)), best_of(words))


def west_of(stars: FirstStars, circumstances: LocalCircumstances, shifts_deg: FloatArray) -> FloatArray:
    """Landings (3, m, n) west of the stars by each shift."""
    return landings_at(stars, circumstances, shifts_deg[:, None], 0.0 * shifts_deg[:, None])


def landings_at(
    stars: FirstStars,
    circumstances: LocalCircumstances,
    hour_shift_deg: FloatArray,
    dec_shift_deg: FloatArray,
) -> FloatArray:
    """Landings (3, m, n) at the stars' places plus shifts (m, n); declinations past 90 go over the pole."""
    return equatorial_direction(
        stars.hour_angle_deg + hour_shift_deg, stars.dec_deg + dec_shift_deg, circumstances.lat_deg
    )


def normalised(log_share: FloatArray) -> FloatArray:
    top = log_share.max()
    result: FloatArray = log_share - top - np.log(np.exp(log_share - top).sum())
    return result


def mean_and_sd(values: FloatArray, log_score: FloatArray) -> tuple[float, float]:
    weights = np.exp(normalised(log_score))
    mean = float(weights @ values)
    return mean, float(np.sqrt(weights @ (values - mean) ** 2))


def best_of(words: list[str]) -> Callable[[FloatArray], str]:
    def best(score: FloatArray) -> str:
        return words[int(np.argmax(score))]

    return best
