"""What the records and the sky say of tonight's settings: altitude scale, pole star, level, volts."""

import re
from collections.abc import Sequence
from datetime import datetime

import numpy as np

from obslog.club.performance.polar_record import PolarRecord
from obslog.club.register.observing_site import ObservingSite
from obslog.club.sky.by_day import by_day_words
from obslog.club.sky.pole import pole_now
from obslog.club.sky.sky_words import pole_words
from obslog.pointing.model.altitude_scale import scale_setting, sideways_from_tilt_arcmin
from obslog.sky.places.kernel import DateOutsideEphemeris

LEVEL_TOLERANCE_DEG = 0.5
_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")


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
