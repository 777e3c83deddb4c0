"""A plan for an instant at which stars cannot be seen: when the first can, and how that is typed."""

from datetime import datetime, timedelta

from obslog.club.register.observing_site import ObservingSite
from obslog.sky.evening.twilight import CIVIL_DEG, twilight
from obslog.sky.names.solar_system import Body
from obslog.sky.places.ephemeris import body_places
from obslog.sky.places.instants import as_datetime, as_datetime64
from obslog.times import night_bounds_utc


def by_day_words(view: ObservingSite, at_utc: datetime) -> str | None:
    """What should be said of a plan by day or in the brightest twilight; None where bright stars can be seen.

    The first are seen from civil dusk on, that of the same date. Raises DateOutsideEphemeris.
    """
    if float(body_places(Body.SUN, at_utc, view.place).airless_alt_deg) < CIVIL_DEG:
        return None
    local = at_utc.astimezone(view.zone)
    dusk = twilight(as_datetime64(night_bounds_utc(local.date(), view.zone)[0]), view.place).civil_dusk
    told = f"It is too light for stars at {local:%H:%M}."
    if dusk is None or as_datetime(dusk) < at_utc:
        return told
    first = (as_datetime(dusk) + timedelta(minutes=1)).astimezone(view.zone)
    return f'{told} The first are seen from {first:%H:%M} on: --at "{first:%Y-%m-%d %H:%M}"'
