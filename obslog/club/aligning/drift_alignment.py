"""The polar axis from timed drifts in declination, and what an exposure would suffer from it."""

import re
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from obslog.club.register.observing_site import ObservingSite, instant_at
from obslog.errors import OutOfRange, WrongInput
from obslog.pointing.model.drift import (
    Drifts,
    drift_meaning,
    field_rotation_deg,
    polar_axis,
    polar_errors_from_drifts,
)
from obslog.sky.names.lookup import find_in_sky
from obslog.sky.places.ephemeris import target_of, target_places
from obslog.values import Estimate

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


@dataclass(frozen=True, slots=True)
class OneDrift:
    """A timed drift as it was read: where the star was, how long it was watched, and what it says by itself."""

    star: str
    hour_angle_hours: float
    dec_deg: float
    minutes: float
    drift_north_arcmin: float
    meaning: str
    rotation_deg: float | None


@dataclass(frozen=True, slots=True)
class DriftPage:
    """The polar errors from all drifts together."""

    site: str
    drifts: list[OneDrift]
    polar_altitude: Estimate
    polar_azimuth: Estimate


def axis_from_drifts(
    view: ObservingSite,
    texts: list[str],
    now: datetime,
    *,
    reading_arcmin: float = 0.5,
    exposure_minutes: float | None = None,
) -> DriftPage:
    """The polar errors that explain all drifts. Times are of the night that is, or in the morning was.

    Raises UnreadableDrift, UnknownInSky, NoTimePassed, OutOfRange.
    """
    _check("The exposure", exposure_minutes or 0.0, 0, 24 * 60, "minutes")
    read = [_read(view, text, now) for text in texts]
    hour_angle_deg, dec_deg, minutes, north = (
        np.array(column) for column in zip(*(r[1:] for r in read), strict=True)
    )
    drifts = Drifts(hour_angle_deg, dec_deg, minutes, north, np.full(len(read), reading_arcmin))
    answer = polar_errors_from_drifts(drifts, view.place.lat_deg)
    axis = polar_axis(view.place.lat_deg, answer.polar_altitude.value, answer.polar_azimuth.value)
    lat = view.place.lat_deg
    rotations = (
        field_rotation_deg(hour_angle_deg, dec_deg, exposure_minutes, lat, axis)
        if exposure_minutes is not None
        else None
    )
    lines = [
        OneDrift(
            star,
            ha / 15,
            dec,
            span,
            moved,
            drift_meaning(ha, lat, moved),
            None if rotations is None else float(rotations[i]),
        )
        for i, (star, ha, dec, span, moved) in enumerate(read)
    ]
    return DriftPage(view.site, lines, answer.polar_altitude, answer.polar_azimuth)


def _read(view: ObservingSite, text: str, now: datetime) -> tuple[str, float, float, float, float]:
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
        _check("The hour angle", hour, -12, 24, "hours")
        _check("The declination", dec, -90, 90, "degrees")
        return place, hour * 15, dec, float(match["minutes"]), north
    found = find_in_sky(match["star"])
    seen = target_places(target_of(found.thing), instant_at(view, match["at"], now), view.place)
    return found.name, float(seen.hour_angle_hours) * 15, float(seen.dec_deg), float(match["minutes"]), north


def _check(what: str, value: float, low: float, high: float, unit: str) -> None:
    if not low <= value <= high:
        raise OutOfRange(what, value, low, high, unit)
