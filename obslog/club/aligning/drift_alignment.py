"""The polar axis from timed drifts in declination, and what an exposure would suffer from it."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

import numpy as np

from obslog.club.aligning.star_candidates import BelowTheHorizon
from obslog.club.register.observing_site import ObservingSite, instant_at
from obslog.errors import WrongInput
from obslog.fields import DEC_DEG, NumberField
from obslog.pointing.joint_fit.words import adjuster_words
from obslog.pointing.model.drift import (
    Drifts,
    drift_meaning,
    field_rotation_deg,
    polar_axis,
    polar_errors_from_drifts,
)
from obslog.sky.evening.sun_caution import caution_for, gravest
from obslog.sky.names.lookup import find_in_sky
from obslog.sky.places.ephemeris import target_of, target_places
from obslog.values import Estimate
from obslog.vocabulary.mounts import MountType

EXPOSURE_MINUTES = NumberField("The exposure", 0, 24 * 60, "minutes")
HOUR_ANGLE_HOURS = NumberField("The hour angle", -12, 24, "hours")
# An hour angle may also be signed (west +), but in a shell a leading minus would be taken for an option.
_DRIFT = re.compile(
    r"^(?:(?P<hour>[+-]?\d+(?:\.\d+)?)h(?P<side>[EW])?/(?P<dec>[+-]?\d+(?:\.\d+)?)|(?P<star>.+?)\s+(?P<at>\S*\d[:.hT]?\d\d\S*))"
    r"\s+(?P<minutes>\d+(?:\.\d+)?)\s*(?:m|min)?\s+(?P<drift>\d+(?:\.\d+)?)\s*'?\s*(?P<way>[NS])$",
    re.IGNORECASE,
)


class UnreadableDrift(WrongInput):
    def __init__(self, text: str) -> None:
        super().__init__(
            f"The drift {text!r} cannot be read.",
            "Write star, time, minutes, arcminutes: 'Procyon 21:40 10 2.5N'; or for the star its hour angle and "
            "declination: '4.5hE/+10 10 2.5N'.",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class OneDrift:
    """A timed drift as it was read: where the star was, how long it was watched, and what it says by itself."""

    star: str
    hour_angle_hours: float
    dec_deg: float
    minutes: float
    drift_north_arcmin: float
    meaning: str
    rotation_deg: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DriftPage:
    """The polar errors from all drifts together, and the solar caution where a star was watched by day.

    `adjusters` say which to turn, which way and how far; none for what is within its uncertainty.
    """

    site: str
    drifts: list[OneDrift]
    polar_altitude: Estimate
    polar_azimuth: Estimate
    adjusters: list[str]
    caution: str | None


def axis_from_drifts(
    view: ObservingSite,
    texts: list[str],
    now: datetime,
    *,
    reading_arcmin: float = 0.5,
    exposure_minutes: float | None = None,
) -> DriftPage:
    """The polar errors that explain all drifts. Times are of the night that is, or in the morning was.

    Raises UnreadableDrift, UnknownInSky, BelowTheHorizon, NoTimePassed, OutOfRange.
    """
    EXPOSURE_MINUTES.check(exposure_minutes)
    read, lat_deg = [_read(view, text, now) for text in texts], view.place.lat_deg
    drifts = _drifts(read, reading_arcmin)
    answer = polar_errors_from_drifts(drifts, lat_deg)
    rotations: list[float | None] = [None] * len(read)
    if exposure_minutes is not None:
        axis = polar_axis(lat_deg, answer.polar_altitude.value, answer.polar_azimuth.value)
        turned = field_rotation_deg(drifts.hour_angle_deg, drifts.dec_deg, exposure_minutes, lat_deg, axis)
        rotations = [float(one) for one in turned]
    return DriftPage(
        site=view.site,
        drifts=[
            _told(one, lat_deg, turned, reading_arcmin) for one, turned in zip(read, rotations, strict=True)
        ],
        polar_altitude=answer.polar_altitude,
        polar_azimuth=answer.polar_azimuth,
        adjusters=adjuster_words(answer, MountType.GERMAN),
        caution=gravest(one.caution for one in read),
    )


class _Read(NamedTuple):
    """A drift as it was written, with the caution that watching its star needed."""

    star: str
    hour_angle_deg: float
    dec_deg: float
    minutes: float
    drift_north_arcmin: float
    caution: str | None = None


def _drifts(read: Sequence[_Read], reading_arcmin: float) -> Drifts:
    return Drifts(
        hour_angle_deg=np.array([one.hour_angle_deg for one in read]),
        dec_deg=np.array([one.dec_deg for one in read]),
        minutes=np.array([one.minutes for one in read]),
        drift_north_arcmin=np.array([one.drift_north_arcmin for one in read]),
        reading_arcmin=np.full(len(read), reading_arcmin),
    )


def _told(one: _Read, lat_deg: float, rotation_deg: float | None, reading_arcmin: float) -> OneDrift:
    return OneDrift(
        star=one.star,
        hour_angle_hours=one.hour_angle_deg / 15,
        dec_deg=one.dec_deg,
        minutes=one.minutes,
        drift_north_arcmin=one.drift_north_arcmin,
        meaning=drift_meaning(one.hour_angle_deg, lat_deg, one.drift_north_arcmin, reading_arcmin),
        rotation_deg=rotation_deg,
    )


def _read(view: ObservingSite, text: str, now: datetime) -> _Read:
    match = _DRIFT.match(text.strip())
    if match is None:
        raise UnreadableDrift(text)
    north = float(match["drift"]) * (1 if match["way"].upper() == "N" else -1)
    if match["hour"] is not None:
        if match["side"] and match["hour"][0] in "+-":
            raise UnreadableDrift(text)
        place, hour, dec = text.split()[0], float(match["hour"]), float(match["dec"])
        if (match["side"] or "").upper() == "E":
            hour = -hour
        HOUR_ANGLE_HOURS.check(hour)
        DEC_DEG.check(dec)
        return _Read(place, hour * 15, dec, float(match["minutes"]), north)
    found = find_in_sky(match["star"])
    target, at_utc = target_of(found.thing), instant_at(view, match["at"], now)
    seen = target_places(target, at_utc, view.place)
    if float(seen.alt_deg) < 0:
        raise BelowTheHorizon(found.name, float(seen.alt_deg), at_utc)
    caution = caution_for([target], at_utc, view.place)
    hour_angle_deg = float(seen.hour_angle_hours) * 15
    return _Read(found.name, hour_angle_deg, float(seen.dec_deg), float(match["minutes"]), north, caution)
