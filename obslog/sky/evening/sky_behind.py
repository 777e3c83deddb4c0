"""How bright the sky is behind each of many things, each at its own instant: the site's own sky, and moonlight."""

from dataclasses import dataclass

import numpy as np

from obslog.sky.contrast.moonlight import (
    EXTINCTION_MAG,
    air_path,
    dark_sky_nl,
    mag_per_arcsec2,
    moonlight_nl,
)
from obslog.sky.names.solar_system import Body
from obslog.sky.places.apparent_places import Directions, apparent_places
from obslog.sky.places.ephemeris import body_disc, body_places
from obslog.sky.places.kernel import Array, Instants
from obslog.sky.places.sphere import separation_deg
from obslog.values import Place


@dataclass(frozen=True)
class SkyBehind:
    """The sky behind n things, V magnitudes per square arcsecond, and what the air takes from them, magnitudes."""

    dark_mag: Array
    lit_mag: Array
    extinction_mag: Array

    @property
    def moonlight_mag(self) -> Array:
        """By how much the Moon brightens the sky there; zero while it is down."""
        return self.dark_mag - self.lit_mag

    def without_moon(self) -> "SkyBehind":
        return SkyBehind(self.dark_mag, self.dark_mag, self.extinction_mag)


def sky_behind(directions: Directions, when_utc: Instants, place: Place, zenith_mag: float) -> SkyBehind:
    """The sky behind n things at their n instants, from the brightness that the site's sky has overhead without Moon.

    Raises: DateOutsideEphemeris. What is below the horizon is taken as on it.
    """
    there = apparent_places(directions, when_utc, place)
    zenith_deg = np.minimum(90 - there.airless_alt_deg, 90.0)
    instants, which = np.unique(when_utc, return_inverse=True)
    moon = body_places(Body.MOON, instants, place)
    phase_deg = body_disc(Body.MOON, instants, place).phase_angle_deg[which]
    apart = separation_deg(
        there.az_deg, there.airless_alt_deg, moon.az_deg[which], moon.airless_alt_deg[which]
    )
    dark = dark_sky_nl(zenith_mag, zenith_deg)
    light = moonlight_nl(phase_deg, apart, 90 - moon.airless_alt_deg[which], zenith_deg)
    return SkyBehind(
        mag_per_arcsec2(dark), mag_per_arcsec2(dark + light), EXTINCTION_MAG * air_path(zenith_deg)
    )
