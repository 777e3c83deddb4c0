"""Dusk and dawn of the three kinds, and how dark it is at an instant."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from obslog.sky.evening.rising import SUN_HORIZON_DEG, track_about
from obslog.sky.names.solar_system import Body
from obslog.sky.places.kernel import Instants
from obslog.sky.places.tracks import Track
from obslog.sky.places.zero_crossings import crossings, instants_after
from obslog.values import Place

CIVIL_DEG, NAUTICAL_DEG, ASTRONOMICAL_DEG = -6.0, -12.0, -18.0
DARK_DEG = (ASTRONOMICAL_DEG, NAUTICAL_DEG)
"""How far down the Sun is when it is dark: of each night the first that it reaches."""

_ALL_SHOWN_DEG = -9.0
_SHOWN_MAG = (3.0, 1.5)
"""The faintest star that is found without trouble with the Sun at _ALL_SHOWN_DEG, and at civil dusk."""


class Darkness(StrEnum):
    """How dark the sky is, by the Sun's altitude alone."""

    DAY = "day"
    CIVIL = "civil twilight"
    NAUTICAL = "nautical twilight"
    ASTRONOMICAL = "astronomical twilight"
    NIGHT = "night"


@dataclass(frozen=True, kw_only=True)
class Twilight:
    """The Sun from one noon to the next; an instant that does not come is None.

    Each dusk is the evening's end of that twilight, each dawn the morning's beginning. The Sun's lowest and
    highest altitudes are airless, its centre's, to about 0.1 deg.
    """

    sunset: np.datetime64 | None
    civil_dusk: np.datetime64 | None
    nautical_dusk: np.datetime64 | None
    astronomical_dusk: np.datetime64 | None
    astronomical_dawn: np.datetime64 | None
    nautical_dawn: np.datetime64 | None
    civil_dawn: np.datetime64 | None
    sunrise: np.datetime64 | None
    lowest_sun_alt_deg: float
    highest_sun_alt_deg: float

    @property
    def sun_never_sets(self) -> bool:
        return self.sunset is None and self.sunrise is None and self.highest_sun_alt_deg > SUN_HORIZON_DEG

    @property
    def sun_never_rises(self) -> bool:
        return self.sunset is None and self.sunrise is None and not self.sun_never_sets

    @property
    def darkest(self) -> Darkness:
        """How dark it gets."""
        return darkness(self.lowest_sun_alt_deg)


def twilight(noon_utc: np.datetime64, place: Place) -> Twilight:
    """Sunset, dusks, dawns and sunrise in the 24 hours from a local noon.

    Within the polar circles the Sun may set or rise twice between two noons. The first time that it sets counts, and
    the first time that it rises after that: a day of an hour may begin after noon, and end before its night begins.

    Raises: DateOutsideEphemeris.
    Source: Sun's centre at -50', -6, -12 and -18 deg (Explanatory Supplement to the Astronomical Almanac).
    Neglects: as `rise_transit_set`.
    """
    track = track_about(Body.SUN, noon_utc, place, 24.0)
    sunset, sunrise = _down_and_up(noon_utc, track, SUN_HORIZON_DEG)
    civil_dusk, civil_dawn = _down_and_up(noon_utc, track, CIVIL_DEG)
    nautical_dusk, nautical_dawn = _down_and_up(noon_utc, track, NAUTICAL_DEG)
    astronomical_dusk, astronomical_dawn = _down_and_up(noon_utc, track, ASTRONOMICAL_DEG)
    sun = track.airless_alt_deg(instants_after(noon_utc, np.arange(0.0, 24 * 60 + 1, 10)))
    return Twilight(
        sunset=sunset, civil_dusk=civil_dusk, nautical_dusk=nautical_dusk, astronomical_dusk=astronomical_dusk,
        astronomical_dawn=astronomical_dawn, nautical_dawn=nautical_dawn, civil_dawn=civil_dawn, sunrise=sunrise,
        lowest_sun_alt_deg=float(sun.min()), highest_sun_alt_deg=float(sun.max()),
    )  # fmt: skip


def darkness(sun_alt_deg: float) -> Darkness:
    """What the sky is called with the Sun's centre at an airless altitude; nan counts as day."""
    limits = (
        (ASTRONOMICAL_DEG, Darkness.NIGHT),
        (NAUTICAL_DEG, Darkness.ASTRONOMICAL),
        (CIVIL_DEG, Darkness.NAUTICAL),
        (SUN_HORIZON_DEG, Darkness.CIVIL),
    )
    return next((name for limit_deg, name in limits if sun_alt_deg < limit_deg), Darkness.DAY)


def faintest_shown_mag(sun_alt_deg: float) -> float:
    """The faintest star that is found without trouble in twilight, by eye or in a finder; inf where it is dark enough.

    1.5 at civil dusk, 3.0 with the Sun at -9 deg, where the sky at the zenith lets 3.1 be seen by eye.
    Source: at -9 deg F. Patat, O. S. Ugolnikov and O. V. Postylyakov, Astron. Astrophys. 455 (2006) 385 for the sky's
    light, B. E. Schaefer, Publ. Astron. Soc. Pac. 102 (1990) 212 for the eye; both from memory. At civil dusk common
    practice: the brightest stars are seen. Between them judged.
    """
    if sun_alt_deg <= _ALL_SHOWN_DEG:
        return np.inf
    return float(np.interp(sun_alt_deg, (_ALL_SHOWN_DEG, CIVIL_DEG), _SHOWN_MAG))


def all_shown_utc(noon_utc: np.datetime64, place: Place) -> np.datetime64 | None:
    """When in the night from a local noon it gets too dark for `faintest_shown_mag` to have a limit; None if never.

    Raises: DateOutsideEphemeris.
    """
    return _down_and_up(noon_utc, track_about(Body.SUN, noon_utc, place, 24.0), _ALL_SHOWN_DEG)[0]


def _down_and_up(
    noon_utc: np.datetime64, track: Track, limit_deg: float
) -> tuple[np.datetime64 | None, np.datetime64 | None]:
    """When the Sun first goes below, and when it first comes up after that, or at all where it does not go below."""
    found = crossings(lambda when: track.airless_alt_deg(when) - limit_deg, noon_utc, 24.0)
    down, ups = _first(found.when_utc[~found.upward]), found.when_utc[found.upward]
    return down, _first(ups if down is None else ups[ups > down])


def _first(instants: Instants) -> np.datetime64 | None:
    return instants[0] if instants.size else None
