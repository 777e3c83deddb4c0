"""The Moon's phase, age and bright limb; phases are the Moon's lead over the Sun in ecliptic longitude."""

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

import numpy as np
from skyfield.framelib import ecliptic_frame

from obslog.sky.names.solar_system import Body
from obslog.sky.places.ephemeris import body_disc, geocentric
from obslog.sky.places.kernel import Array, When, utc_array
from obslog.sky.places.sphere import position_angle_deg
from obslog.sky.places.zero_crossings import crossings

_LONGEST_MONTH_DAYS = 31.0  # a little over the longest, 29.83 days
_HALF_DAY = 720.0  # minutes
_PRINCIPAL_WITHIN_DEG = 6.1  # half a day's motion against the Sun


class PhaseName(StrEnum):
    """The eight names of the Moon's phase, in order from new Moon."""

    NEW = "new Moon"
    WAXING_CRESCENT = "waxing crescent"
    FIRST_QUARTER = "first quarter"
    WAXING_GIBBOUS = "waxing gibbous"
    FULL = "full Moon"
    WANING_GIBBOUS = "waning gibbous"
    LAST_QUARTER = "last quarter"
    WANING_CRESCENT = "waning crescent"


class PrincipalPhase(NamedTuple):
    """New Moon, a quarter or full Moon, and its instant."""

    name: PhaseName
    when_utc: np.datetime64


@dataclass(frozen=True, slots=True, kw_only=True)
class MoonPhase:
    """The Moon at an instant, seen from the Earth's centre.

    `elongation_deg` is its lead over the Sun in longitude (0 to 360), `age_days` the time since the last new
    Moon, `illuminated` the lit part of the disc, `bright_limb_deg` its middle's position angle.
    """

    name: PhaseName
    elongation_deg: float
    age_days: float
    illuminated: float
    bright_limb_deg: float


def moon_phase(when_utc: When) -> MoonPhase:
    """The phase of the Moon at one instant.

    Raises: DateOutsideEphemeris, also within a month of the ephemeris' first day; TimeWithoutZone.
    Neglects: where on the Earth one stands (up to 1 deg of elongation, 0.01 of the lit part).
    """
    when = utc_array(when_utc).reshape(1)
    elongation_deg = float(moon_elongation_deg(when)[0])
    return MoonPhase(
        name=phase_name(elongation_deg),
        elongation_deg=elongation_deg,
        age_days=_age_days(when[0]),
        illuminated=float(body_disc(Body.MOON, when).illuminated[0]),
        bright_limb_deg=float(bright_limb_deg(when)[0]),
    )


def phase_name(elongation_deg: float) -> PhaseName:
    """What a phase is called: new, full or quarter within half a day of the exact instant."""
    names = list(PhaseName)
    quarter = round(elongation_deg / 90)
    if abs(elongation_deg - 90 * quarter) <= _PRINCIPAL_WITHIN_DEG:
        return names[2 * quarter % 8]
    return names[2 * int(elongation_deg // 90) % 8 + 1]


def principal_phases(start_utc: np.datetime64, days: float) -> list[PrincipalPhase]:
    """The new Moons, quarters and full Moons in a number of days, in order; good to a few seconds.

    Raises: DateOutsideEphemeris.
    """
    found = crossings(  # zero at every quarter
        lambda when: np.sin(2 * np.radians(moon_elongation_deg(when))),
        start_utc,
        24 * days,
        step_minutes=_HALF_DAY,
    )
    names = map(phase_name, moon_elongation_deg(found.when_utc).tolist())
    return list(map(PrincipalPhase, names, found.when_utc))


def moon_elongation_deg(when_utc: When) -> Array:
    """The Moon's lead over the Sun in apparent ecliptic longitude of date, 0 to 360."""
    return (ecliptic_longitude_deg(Body.MOON, when_utc) - ecliptic_longitude_deg(Body.SUN, when_utc)) % 360


def ecliptic_longitude_deg(body: Body, when_utc: When) -> Array:
    """A body's apparent longitude from the Earth's centre, ecliptic and equinox of date, in degrees."""
    longitude = geocentric(body, when_utc).frame_latlon(ecliptic_frame)[1]
    return np.asarray(longitude.degrees).reshape(utc_array(when_utc).shape)


def bright_limb_deg(when_utc: When) -> Array:
    """The position angle of the middle of the Moon's bright limb, from north through east, in degrees.

    Source: J. Meeus, Astronomical Algorithms (1998), chapter 48: the Sun's direction on a great circle.
    """
    moon_ra, moon_dec, _ = geocentric(Body.MOON, when_utc).radec("date")
    sun_ra, sun_dec, _ = geocentric(Body.SUN, when_utc).radec("date")
    angle = position_angle_deg(moon_ra._degrees, moon_dec.degrees, sun_ra._degrees, sun_dec.degrees)
    return angle.reshape(utc_array(when_utc).shape)


def _age_days(when_utc: np.datetime64) -> float:
    month = np.timedelta64(round(_LONGEST_MONTH_DAYS * 86400), "s")
    found = crossings(
        lambda when: np.sin(np.radians(moon_elongation_deg(when))),
        when_utc - month,
        24 * _LONGEST_MONTH_DAYS,
        step_minutes=_HALF_DAY,
    )
    last_new_moon = found.when_utc[found.upward][-1]
    return float((when_utc - last_new_moon) / np.timedelta64(1, "D"))
