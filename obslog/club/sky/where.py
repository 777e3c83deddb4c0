"""Where something stands at an instant, seen from a site on record."""

from dataclasses import dataclass
from datetime import datetime

from obslog.club.register.observing_site import ObservingSite
from obslog.club.sky.pair_seen import PairSeen, pair_seen
from obslog.sky.evening.sun_caution import caution_for
from obslog.sky.names.deepsky import DeepSkyObject
from obslog.sky.names.lookup import FoundInSky, find_in_sky
from obslog.sky.names.solar_system import Body
from obslog.sky.names.star_tables import Star
from obslog.sky.places.apparent_places import Places
from obslog.sky.places.ephemeris import target_of, target_places
from obslog.sky.places.sphere import separation_deg
from obslog.values import Place


@dataclass(frozen=True, slots=True, kw_only=True)
class WhereIs:
    """Where something is at an instant: its apparent topocentric place, seen and airless; and what it is.

    Magnitude, band and what an object's magnitude rests on, constellation and size (long and short axis) are None where
    the tables have none: bodies that wander have none here. `pair` is that of a double star. Distances are from the
    centres of the Sun and the Moon. `title` is the name with the one that people use.
    """

    name: str
    ra_hours: float
    dec_deg: float
    hour_angle_hours: float
    alt_deg: float
    az_deg: float
    airless_alt_deg: float
    title: str
    site: str
    at_utc: datetime
    magnitude: float | None
    band: str | None
    magnitude_from: str | None
    constellation: str | None
    size_arcmin: tuple[float | None, float | None]
    pair: PairSeen | None
    sun_deg: float
    moon_deg: float
    caution: str | None


def where_is(view: ObservingSite, name: str, at_utc: datetime) -> WhereIs:
    """Where something is. Raises UnknownInSky, NotOneObject, DateOutsideEphemeris."""
    found = find_in_sky(name)
    thing, target = found.thing, target_of(found.thing)
    there = target_places(target, at_utc, view.place)
    listed = thing if isinstance(thing, Star | DeepSkyObject) else None
    return WhereIs(
        name=found.name,
        title=title_of(found),
        ra_hours=float(there.ra_hours),
        dec_deg=float(there.dec_deg),
        hour_angle_hours=float(there.hour_angle_hours),
        alt_deg=float(there.alt_deg),
        az_deg=float(there.az_deg),
        airless_alt_deg=float(there.airless_alt_deg),
        site=view.site,
        at_utc=at_utc,
        magnitude=listed.magnitude if listed else None,
        band=listed.band if listed else None,
        magnitude_from=thing.magnitude_from if isinstance(thing, DeepSkyObject) else None,
        constellation=listed.constellation if listed else None,
        size_arcmin=(thing.major_arcmin, thing.minor_arcmin)
        if isinstance(thing, DeepSkyObject)
        else (None, None),
        pair=pair_seen(thing.name, None) if isinstance(thing, Star) else None,
        sun_deg=_apart_deg(there, Body.SUN, at_utc, view.place),
        moon_deg=_apart_deg(there, Body.MOON, at_utc, view.place),
        caution=caution_for([target], at_utc, view.place),
    )


def title_of(found: FoundInSky) -> str:
    """Few know the Large Cloud as ESO 56-115."""
    return found.thing.title if isinstance(found.thing, DeepSkyObject) else found.name


def _apart_deg(there: Places, body: Body, at_utc: datetime, place: Place) -> float:
    other = target_places(body, at_utc, place)
    return float(separation_deg(there.az_deg, there.airless_alt_deg, other.az_deg, other.airless_alt_deg))
