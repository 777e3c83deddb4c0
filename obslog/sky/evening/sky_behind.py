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
from obslog.sky.places.sphere import horizontal, separation_deg
from obslog.values import Place

_SIDEREAL_HOURS_PER_SOLAR = 1.00273790935


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
    Neglects: what precession and aberration change in a night, an arcsecond.
    """
    if not np.size(when_utc):
        return SkyBehind(*(np.empty(0),) * 3)
    az_deg, alt_deg = _places_at(directions, when_utc, place)
    zenith_deg = np.minimum(90 - alt_deg, 90.0)
    instants, which = np.unique(when_utc, return_inverse=True)
    moon = body_places(Body.MOON, instants, place)
    phase_deg = body_disc(Body.MOON, instants, place).phase_angle_deg[which]
    apart = separation_deg(az_deg, alt_deg, moon.az_deg[which], moon.airless_alt_deg[which])
    dark = dark_sky_nl(zenith_mag, zenith_deg)
    light = moonlight_nl(phase_deg, apart, 90 - moon.airless_alt_deg[which], zenith_deg)
    return SkyBehind(
        mag_per_arcsec2(dark), mag_per_arcsec2(dark + light), EXTINCTION_MAG * air_path(zenith_deg)
    )


def _places_at(directions: Directions, when_utc: Instants, place: Place) -> tuple[Array, Array]:
    """Azimuths and airless altitudes of n things at their n instants: their places once, and the Earth's turning."""
    start = when_utc.min()
    seen = apparent_places(directions, start, place)
    turned = (when_utc - start) / np.timedelta64(1, "h") * _SIDEREAL_HOURS_PER_SOLAR
    alt_deg, az_deg = horizontal(seen.hour_angle_hours + turned, seen.dec_deg, place.lat_deg)
    return az_deg, alt_deg
