"""The stars that stand over a site at an instant, as the mathematics of pointing wants them."""

from dataclasses import dataclass
from datetime import datetime
from functools import cache

import numpy as np

from obslog.club.aligning.usual_limits import FAINTEST_MAG, HIGHEST_ALT_DEG, LOWEST_ALT_DEG
from obslog.club.register.observing_site import ObservingSite
from obslog.errors import WrongInput
from obslog.fields import NumberField
from obslog.horizon import Horizon
from obslog.pointing.model.geometry import StarPlaces, assumed_tube_west
from obslog.pointing.planning.observable import Candidates, ObservableLimits, hard_to_find
from obslog.sky.evening.twilight import faintest_shown_mag
from obslog.sky.names.lookup import find_in_sky
from obslog.sky.names.solar_system import Body
from obslog.sky.names.star_tables import Star, all_stars
from obslog.sky.places.apparent_places import Places, apparent_places, directions_of
from obslog.sky.places.ephemeris import body_places, target_of, target_places
from obslog.sky.places.sphere import separation_deg


class BelowTheHorizon(WrongInput):
    def __init__(self, star: str, alt_deg: float, at_utc: datetime) -> None:
        super().__init__(
            f"{star} stood {-alt_deg:.1f}° below the horizon at {at_utc:%Y-%m-%d %H:%M} UTC: nobody saw it.",
            "Check the star and the time, the date after midnight too.",
        )


@dataclass(frozen=True, slots=True)
class StarsNow:
    """Stars fit for syncing, with their places at an instant."""

    stars: list[Star]
    seen: Places
    candidates: Candidates


def stars_now(view: ObservingSite, at_utc: datetime) -> StarsNow:
    """Every star that a finder shows apart from its neighbours, with its distance from the Moon and the Sun."""
    stars = [star for star in all_stars() if star.too_close_to is None]
    seen = apparent_places(directions_of(stars), at_utc, view.place)
    moon, sun = (body_places(body, at_utc, view.place) for body in (Body.MOON, Body.SUN))
    return StarsNow(
        stars,
        seen,
        Candidates(
            stars=star_places(seen, view.place.lat_deg),
            magnitude=np.array([star.magnitude for star in stars]),
            hard_to_find=_hard_to_find()[[star.too_close_to is None for star in all_stars()]],
            moon_deg=_apart_deg(seen, moon),
            sun_deg=_apart_deg(seen, sun),
            shown_mag=faintest_shown_mag(float(sun.airless_alt_deg)),
        ),
    )


@cache
def _hard_to_find() -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Of every star of the table, those with a close companion included: they too are neighbours."""
    stars = all_stars()
    return hard_to_find(
        np.array([star.magnitude for star in stars]),
        np.array([star.is_named for star in stars]),
        np.array([star.ra_hours * 15 for star in stars]),
        np.array([star.dec_deg for star in stars]),
    )


def places_of_targets(view: ObservingSite, names: list[str], at_utc: datetime) -> StarPlaces:
    """The places of named targets. Raises UnknownInSky."""
    seen = [target_places(target_of(find_in_sky(name).thing), at_utc, view.place) for name in names]
    joined = Places(
        *(np.array([float(getattr(one, name)) for one in seen]) for name in Places.__dataclass_fields__)
    )
    return star_places(joined, view.place.lat_deg)


def star_places(seen: Places, lat_deg: float) -> StarPlaces:
    """Places with the side of the pier that is taken where none is written: opposite the star."""
    hour_angle_deg = np.atleast_1d(seen.hour_angle_hours) * 15
    return StarPlaces(
        hour_angle_deg,
        np.atleast_1d(seen.dec_deg),
        np.full(hour_angle_deg.shape, lat_deg),
        np.atleast_1d(seen.alt_deg - seen.airless_alt_deg) * 60,
        assumed_tube_west(hour_angle_deg),
    )


def limits_of(
    lowest_alt_deg: float, highest_alt_deg: float, faintest: float, horizon: Horizon = ()
) -> ObservableLimits:
    """What a star must satisfy, with what trees and houses hide. Raises OutOfRange."""
    NumberField("The lowest altitude", 0, 90, "degrees").check(lowest_alt_deg)
    NumberField("The highest altitude", lowest_alt_deg, 90, "degrees").check(highest_alt_deg)
    NumberField("The faintest magnitude", -2, 9).check(faintest)
    return ObservableLimits(
        lowest_alt_deg=lowest_alt_deg,
        highest_alt_deg=highest_alt_deg,
        faintest_magnitude=faintest,
        horizon=horizon,
    )


def usual_limits(view: ObservingSite) -> ObservableLimits:
    """What a star at a site must satisfy where nothing else is asked for, with what trees and houses hide there."""
    return limits_of(LOWEST_ALT_DEG, HIGHEST_ALT_DEG, FAINTEST_MAG, view.horizon)


def _apart_deg(one: Places, other: Places) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    return np.asarray(separation_deg(one.az_deg, one.airless_alt_deg, other.az_deg, other.airless_alt_deg))
