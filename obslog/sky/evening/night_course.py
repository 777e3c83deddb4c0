"""How high a target, the Moon and the Sun stand through one night, at even steps, to be drawn."""

from dataclasses import dataclass

import numpy as np

from obslog.sky.evening.rising import track_about
from obslog.sky.names.solar_system import Body
from obslog.sky.places.ephemeris import Target, body_disc
from obslog.sky.places.kernel import Array, Instants
from obslog.sky.places.moon import PhaseName, moon_elongation_deg, phase_name
from obslog.sky.places.refraction import refracted_alt_deg, usual_air
from obslog.values import Place

HOURS = 24.0
STEP = np.timedelta64(5, "m")


@dataclass(frozen=True, slots=True, kw_only=True)
class NightCourse:
    """Altitudes (n,) from a noon to the next: of the target and the Moon as refraction shows them, airless of the Sun.

    The Moon's phase and lit part are those of the middle of the night.
    """

    when_utc: Instants
    alt_deg: Array
    moon_alt_deg: Array
    sun_airless_alt_deg: Array
    moon_phase: PhaseName
    moon_illuminated: float


def night_course(target: Target, noon_utc: np.datetime64, place: Place) -> NightCourse:
    """The courses in the 24 hours from a noon, every five minutes.

    Raises: DateOutsideEphemeris.
    Neglects: as `track_of`; weather in the refraction.
    """
    count = round(HOURS * 60 / (STEP / np.timedelta64(1, "m")))
    when = noon_utc + STEP * np.arange(count + 1)
    air = usual_air(place.elevation_m)
    airless = [
        track_about(one, noon_utc, place, HOURS).airless_alt_deg(when)
        for one in (target, Body.MOON, Body.SUN)
    ]
    middle = when[count // 2 : count // 2 + 1]
    return NightCourse(
        when_utc=when,
        alt_deg=refracted_alt_deg(airless[0], air),
        moon_alt_deg=refracted_alt_deg(airless[1], air),
        sun_airless_alt_deg=airless[2],
        moon_phase=phase_name(float(moon_elongation_deg(middle)[0])),
        moon_illuminated=float(body_disc(Body.MOON, middle, place).illuminated[0]),
    )
