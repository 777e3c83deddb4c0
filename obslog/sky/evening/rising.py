"""When anything rises, passes the meridian and sets; never rising and never setting are answers too."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from obslog.sky.names.solar_system import Body
from obslog.sky.places.ephemeris import Target, diameter_arcsec, target_places
from obslog.sky.places.kernel import Array, Instants, utc_array
from obslog.sky.places.tracks import Track, track_of
from obslog.sky.places.zero_crossings import STEP_MINUTES, crossings
from obslog.values import Place

STAR_HORIZON_DEG = -34 / 60
SUN_HORIZON_DEG = -50 / 60

_TRANSIT_STEP_MINUTES = 180.0
_MARGIN = np.timedelta64(round(max(STEP_MINUTES, _TRANSIT_STEP_MINUTES)), "m")


class Course(StrEnum):
    """What a target does with the horizon during a span of time."""

    RISES_AND_SETS = "rises and sets"
    NEVER_SETS = "never sets"
    NEVER_RISES = "never rises"


@dataclass(frozen=True, kw_only=True)
class DayOf:
    """Rises, upper transits and sets of a target in a span of time, in order; each may be empty.

    `transit_alt_deg` is the refracted altitude at each transit.
    """

    course: Course
    rises_utc: Instants
    transits_utc: Instants
    transit_alt_deg: Array
    sets_utc: Instants


def rise_transit_set(
    target: Target,
    start_utc: np.datetime64,
    place: Place,
    *,
    hours: float = 24.0,
    horizon_deg: float | None = None,
) -> DayOf:
    """The rises, transits and sets of a target from `start_utc` on, good to a second but for the weather.

    `horizon_deg` is the airless altitude that counts as rising; if None, -34' for a point and the Moon's
    upper limb, -50' for the Sun's centre.

    Raises: DateOutsideEphemeris.
    Source: J. Meeus, Astronomical Algorithms (1998), chapter 15, for the altitudes.
    Neglects: dip of the horizon (3' at 3 m, 9' at 25 m above the land around), weather (a minute or more).
    """

    track = track_about(target, start_utc, place, hours)

    def above_horizon_deg(when: Instants) -> Array:
        limit_deg = usual_horizon_deg(target, when, track) if horizon_deg is None else horizon_deg
        return track.airless_alt_deg(when) - limit_deg

    height = crossings(above_horizon_deg, start_utc, hours)
    transits = transits_utc(track, start_utc, hours)
    if height.when_utc.size:
        course = Course.RISES_AND_SETS
    else:
        up = above_horizon_deg(utc_array(start_utc).reshape(1))[0] >= 0
        course = Course.NEVER_SETS if up else Course.NEVER_RISES
    return DayOf(
        course=course,
        rises_utc=height.when_utc[height.upward],
        transits_utc=transits,
        transit_alt_deg=target_places(target, transits, place).alt_deg,
        sets_utc=height.when_utc[~height.upward],
    )


def track_about(target: Target, start_utc: np.datetime64, place: Place, hours: float) -> Track:
    """A target's way through a span of time, and as far beyond either end as the search for crossings looks."""
    start = start_utc.astype("datetime64[us]")
    return track_of(
        target, start - _MARGIN, start + np.timedelta64(round(hours * 3600), "s") + _MARGIN, place
    )


def transits_utc(track: Track, start_utc: np.datetime64, hours: float) -> Instants:
    """The instants at which a target passes the meridian on the side of the equator, or above the pole."""
    west = crossings(track.westing, start_utc, hours, step_minutes=_TRANSIT_STEP_MINUTES)
    return west.when_utc[west.upward]


def usual_horizon_deg(target: Target, when_utc: Instants, track: Track) -> Array:
    """The airless altitude of a target's centre when it is said to rise or set at an instant."""
    if target is Body.MOON:
        return STAR_HORIZON_DEG - diameter_arcsec(target, track.distance_au(when_utc)) / 7200
    return np.asarray(SUN_HORIZON_DEG if target is Body.SUN else STAR_HORIZON_DEG)


def airless_altitude_deg(target: Target, when_utc: Instants | np.datetime64, place: Place) -> Array:
    """A target's altitude without refraction."""
    return target_places(target, when_utc, place).airless_alt_deg
