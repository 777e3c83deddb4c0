"""What the records and the sky say of tonight's settings: place and time, altitude scale, pole star, level, volts."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from obslog.angles import degrees_and_minutes
from obslog.club.performance.polar_record import PolarRecord
from obslog.club.register.observing_site import ObservingSite, view_from
from obslog.club.sky.by_day import by_day_words
from obslog.club.sky.pole import pole_now
from obslog.club.sky.sky_words import pole_words
from obslog.pointing.model.altitude_scale import scale_setting, sideways_from_tilt_arcmin
from obslog.records.tables.logbook_tables import Mount, Site
from obslog.sky.places.kernel import DateOutsideEphemeris
from obslog.times import night_of, standard_offset_hours, zone_named
from obslog.vocabulary.mounts import MountType
from obslog.vocabulary.steps import Step, StepKey

LEVEL_TOLERANCE_DEG = 0.5
_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Tonight:
    """What tonight's values are made from."""

    site: Site
    mount: Mount
    at_utc: datetime
    polar: PolarRecord | None
    volts: list[str]


def step_values(step: StepKey, tonight: Tonight) -> list[str]:
    """What is to be keyed in, set or expected tonight at this step."""
    site, at_utc = tonight.site, tonight.at_utc
    if step == Step.KEY_IN:
        return [*_place_values(site), *_time_values(site, at_utc)]
    if step == Step.POWER:
        return volts_value(tonight.volts)
    if site.lat_deg is None or tonight.mount.mount_type is MountType.ALTAZ:
        return []
    if step == Step.LEVEL:
        return [level_value(site.lat_deg)]
    if step == Step.POLAR_AXIS:
        return [scale_value(site.lat_deg, tonight.polar), *pole_values(view_from(site), at_utc)]
    return []


def scale_value(lat_deg: float, record: PolarRecord | None) -> str:
    """The altitude scale's setting: the latitude, or what this mount's own record makes of it."""
    pole = "north" if lat_deg >= 0 else "south"
    setting = scale_setting(lat_deg, record.altitude_errors_arcmin) if record else None
    if setting is None:
        return f"altitude scale {abs(lat_deg):.1f}°, toward true {pole}"
    low = setting.reads_low_arcmin
    way = "low" if low.value > 0 else "high"
    return (
        f"set the altitude scale to {setting.setting_deg:.1f}°, not {abs(lat_deg):.1f}°, toward true {pole}: "
        f"over {low.count} set-ups it read {abs(low.value) / 60:.1f} ± {low.sd / 60:.1f}° {way}"
    )


def pole_values(view: ObservingSite | None, at_utc: datetime) -> list[str]:
    """Where the pole star stands about the pole, and by day when it can be seen.

    Nothing outside the ephemeris, or where the place is not known.
    """
    if view is None:
        return []
    try:
        by_day = by_day_words(view, at_utc)
        return [pole_words(pole_now(view, at_utc)), *([by_day] if by_day else [])]
    except DateOutsideEphemeris:
        return []


def level_value(lat_deg: float) -> str:
    """What a tilt costs here an axis that is set by the scale."""
    sideways = float(sideways_from_tilt_arcmin(LEVEL_TOLERANCE_DEG, lat_deg))
    return (
        f"within {LEVEL_TOLERANCE_DEG:g}°: that much east or west throws an axis set by the scale "
        f"{sideways:.0f}' sideways here"
    )


def volts_value(texts: Sequence[str]) -> list[str]:
    """The volts to expect, from ticks: the first number of each is at rest, the second while slewing."""
    read = [[float(number.replace(",", ".")) for number in _NUMBER.findall(text)[:2]] for text in texts]
    parts = [
        f"{_spread([numbers[place] for numbers in read if len(numbers) > place])} {when}"
        for place, when in enumerate(("at rest", "slewing"))
        if any(len(numbers) > place for numbers in read)
    ]
    return [f"volts as ticked before: {'; '.join(parts)}"] if parts else []


def _spread(volts: Sequence[float]) -> str:
    if len(volts) == 1:
        return f"{volts[0]:.1f} V (once)"
    return f"{np.mean(volts):.1f} ± {np.std(volts, ddof=1):.1f} V ({len(volts)} times)"


def _place_values(site: Site) -> list[str]:
    if site.lat_deg is None or site.lon_deg is None:
        return ["place not on record: take it from a map or receiver"]
    lat, lon = degrees_and_minutes(site.lat_deg, "NS"), degrees_and_minutes(site.lon_deg, "EW")
    return [f"latitude {lat}, longitude {lon}"]


def _time_values(site: Site, at_utc: datetime) -> list[str]:
    if site.zone is None:
        return [f"UTC {at_utc:%Y-%m-%d %H:%M}; the zone is not on record"]
    zone = zone_named(site.zone)
    local, standard = at_utc.astimezone(zone), standard_offset_hours(site.zone)
    offset = local.utcoffset() or timedelta(0)
    summer = offset > timedelta(hours=standard)
    zone_hours = standard if summer else offset / timedelta(hours=1)  # Morocco's clocks go back for a month
    return [
        f"date {local:%Y-%m-%d} ({local:%d %B %Y}), night of {night_of(at_utc, zone)}",
        f"time {local:%H:%M}, zone {zone_hours:+g} h, summer time {'YES' if summer else 'NO'}",
    ]
