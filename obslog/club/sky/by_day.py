"""A plan for an instant at which stars, or the fainter ones, cannot be seen: when they can, and how that is typed."""

from collections.abc import Sequence
from datetime import datetime, timedelta

from obslog.club.register.observing_site import ObservingSite
from obslog.english import counted
from obslog.sky.evening.twilight import CIVIL_DEG, all_shown_utc, faintest_shown_mag, twilight
from obslog.sky.names.solar_system import Body
from obslog.sky.places.ephemeris import body_places
from obslog.sky.places.instants import as_datetime, as_datetime64
from obslog.times import night_bounds_utc

AFTER_DUSK = timedelta(minutes=1)
"""So that a time shown without seconds leads to stars."""
Turn = tuple[datetime, float]
"""When it is a star's turn, and its magnitude."""


def by_day_words(view: ObservingSite, at_utc: datetime, *, typed: bool = True) -> str | None:
    """What should be said of a plan by day or in the brightest twilight; None where bright stars can be seen.

    The first are seen from civil dusk on, that of the same date. Not `typed`, on paper, how that time is typed is left
    out. Raises DateOutsideEphemeris.
    """
    if not is_too_light(view, at_utc):
        return None
    told = f"It is too light for stars at {at_utc.astimezone(view.zone):%H:%M}."
    first = first_stars_utc(view, at_utc)
    if first is None:
        return told
    local = first.astimezone(view.zone)
    return f"{told} The first are seen from {local:%H:%M} on{_how_typed(local) if typed else '.'}"


def too_faint_words(view: ObservingSite, turns: Sequence[Turn], *, typed: bool = False) -> str | None:
    """What should be said of stars of which some are too faint for the twilight then; None where all are shown.

    With `typed` also how the time is typed from which all are. Raises DateOutsideEphemeris.
    """
    faint = sum(magnitude > faintest_shown_mag(_sun_alt_deg(view, at_utc)) for at_utc, magnitude in turns)
    if not faint:
        return None
    told = f"In twilight {counted(faint, 'star')} may be too faint to be found when the turn comes."
    begun_utc = min(at_utc for at_utc, _ in turns)
    shown = all_shown_utc(as_datetime64(view.noon_before(begun_utc)), view.place)
    if shown is None or as_datetime(shown) < begun_utc:
        return told
    local = (as_datetime(shown) + AFTER_DUSK).astimezone(view.zone)
    return f"{told} All can be found from {local:%H:%M} on{_how_typed(local) if typed else '.'}"


def _how_typed(local: datetime) -> str:
    return f': --at "{local:%Y-%m-%d %H:%M}"'


def is_too_light(view: ObservingSite, at_utc: datetime) -> bool:
    """Whether not even bright stars can be seen. Raises DateOutsideEphemeris."""
    return _sun_alt_deg(view, at_utc) >= CIVIL_DEG


def first_stars_utc(view: ObservingSite, at_utc: datetime) -> datetime | None:
    """When the first stars are seen on the evening of the same date; None where that is past, or it stays light.

    A little after civil dusk. Raises DateOutsideEphemeris.
    """
    noon_utc = night_bounds_utc(at_utc.astimezone(view.zone).date(), view.zone)[0]
    dusk = twilight(as_datetime64(noon_utc), view.place).civil_dusk
    if dusk is None or as_datetime(dusk) < at_utc:
        return None
    return as_datetime(dusk) + AFTER_DUSK


def _sun_alt_deg(view: ObservingSite, at_utc: datetime) -> float:
    return float(body_places(Body.SUN, at_utc, view.place).airless_alt_deg)
