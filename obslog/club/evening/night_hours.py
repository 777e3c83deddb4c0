"""When the sky changes in a night: when it gets dark, when the Moon rises, when dawn begins."""

from dataclasses import dataclass
from datetime import datetime

from obslog.club.register.observing_site import ObservingSite

# The twilight that ends the darkest part of a night, from the darkest on: the names that `sky sun-moon` has.
_DUSKS = ("astronomical_dusk", "nautical_dusk", "civil_dusk", "sunset")
_DAWNS = ("astronomical_dawn", "nautical_dawn", "civil_dawn", "sunrise")


@dataclass(frozen=True, slots=True)
class NightChange:
    """What changes, and when."""

    what: str
    at_utc: datetime


def changes_of_night(view: ObservingSite, at_utc: datetime) -> tuple[NightChange, ...]:
    """Dark, moonrise and dawn of the night that holds the instant, in order of time; empty where none comes.

    The Moon's rising counts between dusk and dawn only.
    """
    from obslog.club.sky.sun_and_moon import sun_and_moon
    from obslog.sky.places.kernel import DateOutsideEphemeris

    try:
        sky = sun_and_moon(view, at_utc)
    except DateOutsideEphemeris:
        return ()
    if sky.sun_never_sets:
        return ()
    dark = _first(sky.twilight_utc, _DUSKS)
    dawn = _first(sky.twilight_utc, _DAWNS)
    moon = [
        rise for rise in sky.moon_rises_utc if (dark is None or rise > dark) and (dawn is None or rise < dawn)
    ]
    found = [NightChange("dark", dark)] if dark else []
    found += [NightChange("moonrise", rise) for rise in moon]
    found += [NightChange("dawn", dawn)] if dawn else []
    return tuple(sorted(found, key=lambda change: change.at_utc))


def next_change(changes: tuple[NightChange, ...], now: datetime) -> NightChange | None:
    """The first that is still to come."""
    return next((change for change in changes if change.at_utc > now), None)


def _first(times: dict[str, datetime | None], names: tuple[str, ...]) -> datetime | None:
    return next((found for name in names if (found := times.get(name)) is not None), None)
