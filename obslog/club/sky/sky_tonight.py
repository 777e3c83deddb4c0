"""The sky as seen from a site on record: where things are, when they are up, Sun, Moon and pole."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

import numpy as np

from obslog.club.register.observing_site import ObservingSite
from obslog.club.targets.pair_seen import PairSeen, pair_seen
from obslog.fields import LOWEST_TO_LOOK_DEG
from obslog.sky.evening.sun_caution import caution_for, caution_of_night
from obslog.sky.names.deepsky import DeepSkyObject
from obslog.sky.names.lookup import Found, find_in_sky
from obslog.sky.names.solar_system import Body
from obslog.sky.names.stars import Star
from obslog.sky.places.apparent_places import Places, directions_of
from obslog.sky.places.ephemeris import target_of, target_places
from obslog.sky.places.instants import as_datetime, as_datetime64, as_datetime_or_none, as_datetimes
from obslog.sky.places.kernel import LAST_NOON
from obslog.sky.places.moon import MoonPhase, moon_phase, principal_phases
from obslog.sky.places.pole import clock_error_arcmin, pole_star
from obslog.sky.places.sphere import separation_deg
from obslog.times import night_bounds_utc
from obslog.values import Place

if TYPE_CHECKING:
    from obslog.sky.evening.dark_windows import Dark
    from obslog.sky.evening.night_course import NightCourse
    from obslog.sky.evening.rising import Course
    from obslog.sky.evening.visibility import NightOf


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


@dataclass(frozen=True, slots=True)
class MonthOf:
    """How a target can be seen in a month of the year that follows: the best night's hours and altitude."""

    month: str
    nights: int
    hours: float
    best_alt_deg: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WhenIs:
    """A night of a target: its risings and settings, and when it stands best in a dark sky. Instants in UTC.

    `dark` is what counts as dark in this night; None where it does not get dark. `highest_in_dark_deg` is the highest
    that it stands while it is dark through the year; None where it is never up then, or the year was not asked for.
    `has_horizon`: whether the site's own horizon counted too, in all but risings and settings.
    """

    name: str
    title: str
    night: date
    course: "Course"
    rises_utc: list[datetime]
    transits_utc: list[datetime]
    transit_alt_deg: list[float]
    sets_utc: list[datetime]
    above_deg: float
    dark: "Dark | None"
    dark_hours: float
    best_utc: datetime | None
    best_alt_deg: float | None
    year: list[MonthOf]
    highest_in_dark_deg: float | None
    has_horizon: bool
    caution: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SunMoon:
    """The Sun and the Moon of a night. Instants in UTC; None for one that does not come.

    The Sun's lowest and highest altitudes are its centre's without air, to 0.1 deg.
    """

    night: date
    darkest: str
    sun_never_sets: bool
    sun_never_rises: bool
    twilight_utc: dict[str, datetime | None]
    lowest_sun_alt_deg: float
    highest_sun_alt_deg: float
    phase: MoonPhase
    moon_course: "Course"
    moon_rises_utc: list[datetime]
    moon_sets_utc: list[datetime]
    moon_alt_deg: float
    next_phases: list[tuple[str, datetime]]
    caution: str | None


@dataclass(frozen=True, slots=True)
class ClockError:
    """How far off the pole star is set where the clock is wrong by so many minutes."""

    minutes: int
    arcmin: float


@dataclass(frozen=True, slots=True, kw_only=True)
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
    clock_error_arcmin: list[ClockError]
    caution: str | None


TWILIGHT = (
    "sunset", "civil_dusk", "nautical_dusk", "astronomical_dusk", "astronomical_dawn", "nautical_dawn", "civil_dawn",
    "sunrise",
)  # fmt: skip


def _title(found: Found) -> str:
    """Few know the Large Cloud as ESO 56-115."""
    return found.thing.title if isinstance(found.thing, DeepSkyObject) else found.name


def where_is(view: ObservingSite, name: str, at_utc: datetime) -> WhereIs:
    """Where something is. Raises UnknownInSky, NotOneObject, DateOutsideEphemeris."""
    found = find_in_sky(name)
    thing, target = found.thing, target_of(found.thing)
    there = target_places(target, at_utc, view.place)
    listed = thing if isinstance(thing, Star | DeepSkyObject) else None
    return WhereIs(
        name=found.name,
        title=_title(found),
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


def when_is(
    view: ObservingSite, name: str, at_utc: datetime, *, above_deg: float = 30.0, year: bool = True
) -> WhenIs:
    """When something is up in the night that holds an instant, and through the year that follows."""
    from obslog.sky.evening.dark_windows import Dark
    from obslog.sky.evening.rising import rise_transit_set
    from obslog.sky.evening.twilight import DARK_DEG
    from obslog.sky.evening.visibility import observable_nights

    LOWEST_TO_LOOK_DEG.check(above_deg)
    found = find_in_sky(name)
    target, noon = target_of(found.thing), as_datetime64(view.noon_before(at_utc))
    day = rise_transit_set(target, noon, view.place)
    (tonight,) = observable_nights(target, noon, view.place, min_alt_deg=above_deg, horizon=view.horizon)
    best = as_datetime_or_none(tonight.best_utc)
    rises, transits, sets = (as_datetimes(t) for t in (day.rises_utc, day.transits_utc, day.sets_utc))
    nights = _nights_of_year(view, found, noon, above_deg) if year else []
    highest_deg = _highest_deg(nights)
    if year and highest_deg is None:
        highest_deg = _highest_deg(_nights_of_year(view, found, noon, 0.0))
    return WhenIs(
        name=found.name,
        title=_title(found),
        night=view.night_at(at_utc),
        course=day.course,
        rises_utc=rises,
        transits_utc=transits,
        transit_alt_deg=[float(alt) for alt in day.transit_alt_deg],
        sets_utc=sets,
        above_deg=above_deg,
        dark=None
        if tonight.sun_below_deg is None
        else dict(zip(DARK_DEG, Dark, strict=True))[tonight.sun_below_deg],
        dark_hours=tonight.hours,
        best_utc=best,
        best_alt_deg=float(tonight.best_alt_deg) if best else None,
        year=_by_month(nights, view),
        highest_in_dark_deg=highest_deg,
        has_horizon=bool(view.horizon),
        caution=caution_of_night(target, best or at_utc, [*rises, *transits, *sets], view.place),
    )


def course_of(view: ObservingSite, found: WhenIs) -> "NightCourse":
    """How high a thing, the Moon and the Sun stand through its night. Raises DateOutsideEphemeris."""
    from obslog.sky.evening.night_course import night_course

    noon, _ = night_bounds_utc(found.night, view.zone)
    return night_course(target_of(find_in_sky(found.name).thing), as_datetime64(noon), view.place)


def sun_and_moon(view: ObservingSite, at_utc: datetime) -> SunMoon:
    """Twilight, Moonlight and the coming phases for the night that holds an instant."""
    from obslog.sky.evening.rising import rise_transit_set
    from obslog.sky.evening.twilight import twilight

    noon = as_datetime64(view.noon_before(at_utc))
    dusk = twilight(noon, view.place)
    moon = rise_transit_set(Body.MOON, noon, view.place)
    return SunMoon(
        night=view.night_at(at_utc),
        darkest=dusk.darkest,
        sun_never_sets=dusk.sun_never_sets,
        sun_never_rises=dusk.sun_never_rises,
        twilight_utc={name: as_datetime_or_none(getattr(dusk, name)) for name in TWILIGHT},
        lowest_sun_alt_deg=dusk.lowest_sun_alt_deg,
        highest_sun_alt_deg=dusk.highest_sun_alt_deg,
        phase=moon_phase(at_utc),
        moon_course=moon.course,
        moon_rises_utc=as_datetimes(moon.rises_utc),
        moon_sets_utc=as_datetimes(moon.sets_utc),
        moon_alt_deg=float(target_places(Body.MOON, at_utc, view.place).alt_deg),
        next_phases=[
            (phase.name.value, as_datetime(phase.when_utc))
            for phase in principal_phases(as_datetime64(at_utc), 30)
        ],
        caution=caution_for([Body.MOON], at_utc, view.place),
    )


def pole_now(view: ObservingSite, at_utc: datetime) -> PoleNow:
    """The pole star at an instant, and how far the axis misses if the clock is 4, 10, 30 or 60 minutes wrong."""
    seen = pole_star(at_utc, view.place)
    return PoleNow(
        star=seen.star.name,
        at_utc=at_utc,
        alt_deg=float(seen.alt_deg),
        az_deg=float(seen.az_deg),
        pole_alt_deg=seen.pole_alt_deg,
        distance_arcmin=float(seen.distance_arcmin),
        hour_angle_hours=float(seen.hour_angle_hours),
        position_angle_deg=float(seen.position_angle_deg),
        dial_by_eye_hours=float(seen.dial_by_eye_hours),
        dial_inverted_hours=float(seen.dial_inverted_hours),
        dial_mirrored_hours=float(seen.dial_mirrored_hours),
        clock_error_arcmin=[
            ClockError(minutes, float(clock_error_arcmin(seen.distance_arcmin, minutes)))
            for minutes in (4, 10, 30, 60)
        ],
        caution=caution_for([directions_of(seen.star)], at_utc, view.place),
    )


def _apart_deg(there: Places, body: Body, at_utc: datetime, place: Place) -> float:
    other = target_places(body, at_utc, place)
    return float(separation_deg(there.az_deg, there.airless_alt_deg, other.az_deg, other.airless_alt_deg))


def _nights_of_year(
    view: ObservingSite, found: Found, noon: np.datetime64, above_deg: float
) -> "list[NightOf]":
    """The nights of the year from this night on; it ends where the ephemeris does."""
    from obslog.sky.evening.visibility import observable_nights

    count = max(1, min(365, int((LAST_NOON - noon) / np.timedelta64(1, "D"))))
    return observable_nights(
        target_of(found.thing), noon, view.place, nights=count, min_alt_deg=above_deg, horizon=view.horizon
    )


def _highest_deg(nights: "Iterable[NightOf]") -> float | None:
    return max((night.best_alt_deg for night in nights if night.hours > 0), default=None)


def _by_month(nights: "Iterable[NightOf]", view: ObservingSite) -> list[MonthOf]:
    """Month by month: on how many nights it can be seen, and the longest and highest of it."""
    months: dict[str, list[NightOf]] = {}
    for night in nights:
        label = f"{as_datetime(night.noon_utc).astimezone(view.zone):%Y-%m}"
        months.setdefault(label, []).append(night)
    return [
        MonthOf(
            label,
            sum(night.hours > 0 for night in seen),
            max(night.hours for night in seen),
            _highest_deg(seen),
        )
        for label, seen in months.items()
    ]
