"""The pole star seen from a site on record, for setting a polar axis by it."""

from dataclasses import dataclass
from datetime import datetime

from obslog.club.register.observing_site import ObservingSite
from obslog.sky.evening.sun_caution import caution_for
from obslog.sky.places.apparent_places import directions_of
from obslog.sky.places.pole import clock_error_arcmin, pole_star


@dataclass(frozen=True, slots=True)
class ClockError:
    """How far off the pole star is set where the clock is wrong by so many minutes."""

    minutes: int
    arcmin: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PoleNow:
    """The pole star at an instant, as pole.py tells it, and what a clock wrong by so many minutes would cost."""

    star: str
    designation: str
    magnitude: float
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


def pole_now(view: ObservingSite, at_utc: datetime) -> PoleNow:
    """The pole star at an instant, and how far the axis misses if the clock is 4, 10, 30 or 60 minutes wrong."""
    seen = pole_star(at_utc, view.place)
    return PoleNow(
        star=seen.star.name,
        designation=seen.star.designation,
        magnitude=seen.star.magnitude,
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
