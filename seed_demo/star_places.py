"""Where stars stand over a site, airless and refracted, for many arrivals in one call, as unit vectors."""

from collections.abc import Sequence
from datetime import datetime

import numpy as np

from obslog.sky.places.apparent_places import Directions, apparent_places
from obslog.sky.places.refraction import Air, refracted_alt_deg
from obslog.values import Place

from .club import Site
from .mount_model import Floats

# The air of every night of the demo, at every elevation.
AIR = Air(pressure_hpa=1010.0, temperature_c=10.0)


def airless_directions(site: Site, ra_hours: Floats, dec_deg: Floats, utc: Sequence[datetime]) -> Floats:
    """Unit vectors (n, 3) to north, east and up of n ICRS places at n instants, without refraction."""
    place = Place(site.lat_deg, site.lon_deg, site.elevation_m)
    seen = apparent_places(Directions(ra_hours, dec_deg), utc, place, AIR)
    return horizontal_direction(seen.airless_alt_deg, seen.az_deg)


def refracted(direction: Floats) -> Floats:
    """The same directions (n, 3) lifted by the air."""
    airless_alt_deg = np.degrees(np.arcsin(np.clip(direction[:, 2], -1.0, 1.0)))
    az_deg = np.degrees(np.arctan2(direction[:, 1], direction[:, 0]))
    return horizontal_direction(refracted_alt_deg(airless_alt_deg, AIR), az_deg)


def horizontal_direction(alt_deg: Floats, az_deg: Floats) -> Floats:
    """Unit vectors (n, 3) to north, east and up."""
    alt, az = np.radians(alt_deg), np.radians(az_deg)
    return np.stack([np.cos(alt) * np.cos(az), np.cos(alt) * np.sin(az), np.sin(alt)], axis=-1)
