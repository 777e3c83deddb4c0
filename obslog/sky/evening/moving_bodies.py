"""Moon and planets as things of a catalogue, for one night: where they are, how bright and how large."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from obslog.sky.evening.object_arrays import Catalogue
from obslog.sky.names.solar_system import Body
from obslog.sky.places.ephemeris import astrometric_place, body_disc, body_places
from obslog.sky.places.kernel import Array, Instants
from obslog.sky.places.sphere import separation_deg
from obslog.values import Place

WANDERERS = tuple(body for body in Body if body is not Body.SUN)


def wanderers(when_utc: np.datetime64, place: Place) -> Catalogue:
    """Moon and planets with the astrometric places that they have at one instant, as if they stood still.

    The Moon has no magnitude here. Raises: DateOutsideEphemeris.
    Neglects: what they move in half a night: 7 deg at most for the Moon, 1 deg for Mercury, less for the others.
    """
    ra_hours, dec_deg = np.array([astrometric_place(body, when_utc, place) for body in WANDERERS]).T
    discs = [body_disc(body, when_utc, place) for body in WANDERERS]
    still, unknown = np.zeros(len(WANDERERS)), np.full(len(WANDERERS), np.nan)
    magnitude = np.array([float(disc.magnitude) for disc in discs])
    names = tuple(body.value for body in WANDERERS)
    return Catalogue(
        names=names,
        titles=names,
        types=tuple("Moon" if body is Body.MOON else "planet" for body in WANDERERS),
        constellations=tuple(str(word) for word in constellation_at(ra_hours, dec_deg)),
        ra_hours=ra_hours,
        dec_deg=dec_deg,
        pm_ra_mas_per_year=still,
        pm_dec_mas_per_year=still,
        magnitude=magnitude,
        bands=tuple(None if np.isnan(value) else "V" for value in magnitude),
        major_arcmin=np.array([float(disc.diameter_arcsec) / 60 for disc in discs]),
        minor_arcmin=unknown,
        bulge_share=unknown,
    )


def elongations_deg(names: tuple[str, ...], when_utc: Instants, place: Place) -> Array:
    """How far from the Sun each of n things stands at its own instant; nan for what does not wander."""
    found = np.full(len(names), np.nan)
    for index, name in enumerate(names):
        if name in WANDERERS:
            there, sun = (body_places(body, when_utc[index], place) for body in (Body(name), Body.SUN))
            found[index] = separation_deg(
                there.az_deg, there.airless_alt_deg, sun.az_deg, sun.airless_alt_deg
            )
    return found


def constellation_at(ra_hours: ArrayLike, dec_deg: ArrayLike) -> NDArray[np.str_]:
    """The abbreviations of the constellations that hold ICRS directions; the shape of the input.

    Source: N. G. Roman, PASP 99 (1987) 695: boundaries of 1930 at equinox B1875, by Skyfield.
    """
    from skyfield.api import load_constellation_map, position_of_radec  # slow to import

    position = position_of_radec(ra_hours, dec_deg)
    return np.asarray(load_constellation_map()(position))
