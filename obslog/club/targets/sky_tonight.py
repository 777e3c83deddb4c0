"""The sky as seen from a site on record: where things are, when they are up, Sun, Moon and pole."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import numpy as np

from obslog.club.night.open_night import zone_of
from obslog.errors import ObslogError, OutOfRange, quoted
from obslog.horizon import Horizon, read_horizon
from obslog.records.name_lookup import by_name
from obslog.records.opening import Database
from obslog.records.tables.logbook_tables import Site
from obslog.sky.evening.rising import Course, rise_transit_set
from obslog.sky.evening.sun_caution import Danger, solar_caution
from obslog.sky.evening.twilight import twilight
from obslog.sky.evening.visibility import observable_nights
from obslog.sky.names.lookup import Found, Thing, find_in_sky
from obslog.sky.names.solar_system import Body
from obslog.sky.names.stars import Star
from obslog.sky.places.apparent_places import Directions, directions_of
from obslog.sky.places.ephemeris import Target, body_disc, target_places
from obslog.sky.places.moon import MoonPhase, moon_phase, principal_phases
from obslog.sky.places.pole import clock_error_arcmin, pole_star
from obslog.times import instant_meant, night_bounds_utc, night_of
from obslog.values import Place


class SiteWithoutPlace(ObslogError):
    def __init__(self, site: str) -> None:
        super().__init__(
            f"Where {site} lies is not on record.",
            f"Tell it: obslog site edit {quoted(site)} --lat DEG --lon DEG --tz ZONE",
        )


@dataclass(frozen=True, slots=True)
class Lookout:
    """A site one looks from: its name, place, zone, and what hides its sky."""

    site: str
    place: Place
    zone: ZoneInfo
    horizon: Horizon = ()

    def night_at(self, instant: datetime) -> date:
        return night_of(instant, self.zone)

    def noon_before(self, instant: datetime) -> np.datetime64:
        return _np(night_bounds_utc(self.night_at(instant), self.zone)[0])


@dataclass(frozen=True, slots=True)
class WhereIs:
    """Where something is at an instant: its apparent topocentric place, seen and airless."""

    name: str
    ra_hours: float
    dec_deg: float
    hour_angle_hours: float
    alt_deg: float
    az_deg: float
    airless_alt_deg: float
    caution: str | None


@dataclass(frozen=True, slots=True)
class MonthOf:
    """How a target can be seen in a month of the year that follows: the best night's hours and altitude."""

    month: str
    nights: int
    hours: float
    best_alt_deg: float | None


@dataclass(frozen=True, slots=True)
class WhenIs:
    """A night of a target: its risings and settings, and when it stands best in a dark sky. Instants in UTC."""

    name: str
    night: date
    course: Course
    rises_utc: list[datetime]
    transits_utc: list[datetime]
    transit_alt_deg: list[float]
    sets_utc: list[datetime]
    above_deg: float
    dark_hours: float
    best_utc: datetime | None
    best_alt_deg: float | None
    year: list[MonthOf]
    caution: str | None


@dataclass(frozen=True, slots=True)
class SunMoon:
    """The Sun and the Moon of a night. Instants in UTC; None for one that does not come."""

    night: date
    darkest: str
    sun_never_sets: bool
    sun_never_rises: bool
    twilight_utc: dict[str, datetime | None]
    phase: MoonPhase
    moon_rises_utc: list[datetime]
    moon_sets_utc: list[datetime]
    moon_alt_deg: float
    next_phases: list[tuple[str, datetime]]
    caution: str | None


@dataclass(frozen=True, slots=True)
class PoleNow:
    """The pole star at an instant, as pole.py tells it, and what a clock wrong by so many minutes would cost."""

    star: str
    at_utc: datetime
    alt_deg: float
    az_deg: float
    pole_alt_deg: float
    distance_arcmin: float
    hour_angle_hours: float
    position_angle_deg: float
    dial_by_eye_hours: float
    dial_inverted_hours: float
    dial_mirrored_hours: float
    clock_error_arcmin: dict[int, float]
    caution: str | None


TWILIGHT = (
    "sunset", "civil_dusk", "nautical_dusk", "astronomical_dusk", "astronomical_dawn", "nautical_dawn", "civil_dawn",
    "sunrise",
)  # fmt: skip


def lookout(database: Database, site_name: str) -> Lookout:
    """The site to look from. Raises UnknownName, SiteWithoutPlace, SiteWithoutZone."""
    with database.read() as session:
        site = by_name(session, Site, site_name)
        if site.lat_deg is None or site.lon_deg is None:
            raise SiteWithoutPlace(site.name)
        place = Place(site.lat_deg, site.lon_deg, site.elevation_m or 0.0)
        return Lookout(site.name, place, zone_of(site), read_horizon(site.horizon or ""))


def instant_at(view: Lookout, text: str | None, now: datetime, *, planning: bool = False) -> datetime:
    """What a person at this site means by `--at`: see `instant_meant`."""
    return instant_meant(text, now, view.zone, planning=planning)


def target_of(thing: Thing) -> Target:
    """What the sky's functions ask for: directions with proper motion for a star, without for an object."""
    if isinstance(thing, Body):
        return thing
    return directions_of(thing) if isinstance(thing, Star) else Directions(thing.ra_hours, thing.dec_deg)


def where_is(view: Lookout, name: str, at_utc: datetime) -> WhereIs:
    """Where something is. Raises UnknownInSky, NotOneObject, DateOutsideEphemeris."""
    found = find_in_sky(name)
    target = target_of(found.thing)
    there = target_places(target, at_utc, view.place)
    return WhereIs(
        found.name,
        float(there.ra_hours),
        float(there.dec_deg),
        float(there.hour_angle_hours),
        float(there.alt_deg),
        float(there.az_deg),
        float(there.airless_alt_deg),
        caution_for([target], at_utc, view.place),
    )


def when_is(
    view: Lookout, name: str, at_utc: datetime, *, above_deg: float = 30.0, year: bool = True
) -> WhenIs:
    """When something is up in the night that holds an instant, and through the year that follows."""
    if not 0 <= above_deg < 90:
        raise OutOfRange("The altitude", above_deg, 0, 90, "degrees")
    found = find_in_sky(name)
    target, noon = target_of(found.thing), view.noon_before(at_utc)
    day = rise_transit_set(target, noon, view.place)
    tonight = observable_nights(target, noon, view.place, min_alt_deg=above_deg)[0]
    best = _utc(tonight.best_utc)
    return WhenIs(
        found.name,
        view.night_at(at_utc),
        day.course,
        _times(day.rises_utc),
        _times(day.transits_utc),
        [float(alt) for alt in day.transit_alt_deg],
        _times(day.sets_utc),
        above_deg,
        tonight.hours,
        best,
        float(tonight.best_alt_deg) if best else None,
        _year(view, found, noon, above_deg) if year else [],
        caution_for([target], best or at_utc, view.place),
    )


def sun_and_moon(view: Lookout, at_utc: datetime) -> SunMoon:
    """Twilight, Moonlight and the coming phases for the night that holds an instant."""
    noon = view.noon_before(at_utc)
    dusk = twilight(noon, view.place)
    moon = rise_transit_set(Body.MOON, noon, view.place)
    return SunMoon(
        view.night_at(at_utc),
        dusk.darkest,
        dusk.sun_never_sets,
        dusk.sun_never_rises,
        {name: _utc(getattr(dusk, name)) for name in TWILIGHT},
        moon_phase(at_utc),
        _times(moon.rises_utc),
        _times(moon.sets_utc),
        float(target_places(Body.MOON, at_utc, view.place).alt_deg),
        [(phase.name.value, _certain(phase.when_utc)) for phase in principal_phases(_np(at_utc), 30)],
        caution_for([Body.MOON], at_utc, view.place),
    )


def pole_now(view: Lookout, at_utc: datetime) -> PoleNow:
    """The pole star at an instant, and how far the axis misses if the clock is 4, 10, 30 or 60 minutes wrong."""
    seen = pole_star(at_utc, view.place)
    return PoleNow(
        seen.star.name,
        at_utc,
        float(seen.alt_deg),
        float(seen.az_deg),
        seen.pole_alt_deg,
        float(seen.distance_arcmin),
        float(seen.hour_angle_hours),
        float(seen.position_angle_deg),
        float(seen.dial_by_eye_hours),
        float(seen.dial_inverted_hours),
        float(seen.dial_mirrored_hours),
        {minutes: float(clock_error_arcmin(seen.distance_arcmin, minutes)) for minutes in (4, 10, 30, 60)},
        caution_for([directions_of(seen.star)], at_utc, view.place),
    )


def caution_for(targets: Iterable[Target], at_utc: datetime, place: Place) -> str | None:
    """The solar caution that looking at these targets needs: the gravest; None where none is needed."""
    dangers = {found.danger for target in targets if (found := solar_caution(target, at_utc, place))}
    return next((danger.value for danger in Danger if danger in dangers), None)


def magnitude_of(found: Found, at_utc: datetime) -> tuple[float | None, str | None]:
    """How bright something is, and in which band; a planet's at that time."""
    thing = found.thing
    if isinstance(thing, Body):
        magnitude = float(body_disc(thing, at_utc).magnitude)
        return (None, None) if np.isnan(magnitude) else (magnitude, "V")
    return thing.magnitude, thing.band


def _year(view: Lookout, found: Found, noon: np.datetime64, above_deg: float) -> list[MonthOf]:
    """Month by month from this night on: on how many nights it can be seen, and the longest and highest of it."""
    nights = observable_nights(target_of(found.thing), noon, view.place, nights=365, min_alt_deg=above_deg)
    months: dict[str, list[tuple[float, float]]] = {}
    for night in nights:
        label = f"{_certain(night.noon_utc).astimezone(view.zone):%Y-%m}"
        months.setdefault(label, []).append((night.hours, float(night.best_alt_deg)))
    return [
        MonthOf(
            label,
            sum(hours > 0 for hours, _ in seen),
            max(hours for hours, _ in seen),
            max((alt for hours, alt in seen if hours > 0), default=None),
        )
        for label, seen in months.items()
    ]


def _np(instant: datetime) -> np.datetime64:
    return np.datetime64(instant.astimezone(UTC).replace(tzinfo=None), "us")


def _utc(instant: np.datetime64 | None) -> datetime | None:
    return None if instant is None or np.isnat(instant) else _certain(instant)


def _certain(instant: np.datetime64) -> datetime:
    """To the nearest second: nothing here is better than that."""
    whole: datetime = (instant + np.timedelta64(500, "ms")).astype("datetime64[s]").astype(datetime)
    return whole.replace(tzinfo=UTC)


def _times(instants: np.ndarray[tuple[int], np.dtype[np.datetime64]]) -> list[datetime]:
    return [_certain(instant) for instant in instants]
