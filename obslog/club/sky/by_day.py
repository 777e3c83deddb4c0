"""A plan for an instant at which stars cannot be seen: when the first can, and how that is typed."""

from datetime import datetime, timedelta

from obslog.club.register.observing_site import ObservingSite
from obslog.sky.evening.twilight import CIVIL_DEG, twilight
from obslog.sky.names.solar_system import Body
from obslog.sky.places.ephemeris import body_places
from obslog.sky.places.instants import as_datetime, as_datetime64
from obslog.times import night_bounds_utc

AFTER_DUSK = timedelta(minutes=1)
"""So that a time shown without seconds leads to stars."""


def by_day_words(view: ObservingSite, at_utc: datetime) -> str | None:
    """What should be said of a plan by day or in the brightest twilight; None where bright stars can be seen.

    The first are seen from civil dusk on, that of the same date. Raises DateOutsideEphemeris.
    """
    if not is_too_light(view, at_utc):
        return None
    told = f"It is too light for stars at {at_utc.astimezone(view.zone):%H:%M}."
    first = first_stars_utc(view, at_utc)
    if first is None:
        return told
    local = first.astimezone(view.zone)
    return f'{told} The first are seen from {local:%H:%M} on: --at "{local:%Y-%m-%d %H:%M}"'


def is_too_light(view: ObservingSite, at_utc: datetime) -> bool:
    """Whether not even bright stars can be seen. Raises DateOutsideEphemeris."""
    return float(body_places(Body.SUN, at_utc, view.place).airless_alt_deg) >= CIVIL_DEG


def first_stars_utc(view: ObservingSite, at_utc: datetime) -> datetime | None:
    """When the first stars are seen on the evening of the same date; None where that is past, or it stays light.

    A little after civil dusk. Raises DateOutsideEphemeris.
    """
    noon_utc = night_bounds_utc(at_utc.astimezone(view.zone).date(), view.zone)[0]
    dusk = twilight(as_datetime64(noon_utc), view.place).civil_dusk
    if dusk is None or as_datetime(dusk) < at_utc:
        return None
    return as_datetime(dusk) + AFTER_DUSK
