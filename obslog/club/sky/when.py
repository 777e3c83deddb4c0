"""When something can be seen from a site on record: tonight, and through the year."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

import numpy as np

from obslog.club.register.observing_site import ObservingSite
from obslog.club.sky.where import title_of
from obslog.fields import LOWEST_TO_LOOK_DEG
from obslog.sky.evening.sun_caution import caution_of_night
from obslog.sky.names.lookup import FoundInSky, find_in_sky
from obslog.sky.places.ephemeris import target_of
from obslog.sky.places.instants import as_datetime, as_datetime64, as_datetime_or_none, as_datetimes
from obslog.sky.places.kernel import LAST_NOON
from obslog.times import night_bounds_utc

if TYPE_CHECKING:
    from obslog.sky.evening.dark_windows import Dark
    from obslog.sky.evening.night_course import NightCourse
    from obslog.sky.evening.rising import Course
    from obslog.sky.evening.visibility import NightOf


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
        title=title_of(found),
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


def _nights_of_year(
    view: ObservingSite, found: FoundInSky, noon: np.datetime64, above_deg: float
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
