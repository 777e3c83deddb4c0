"""What the Sun and the bodies that wander ask of a record: the solar caution, and where a body stood.

Stars at night need neither numpy nor the ephemeris; by day, and for a body, the ephemeris is loaded and asked.
"""

from collections.abc import Sequence
from datetime import datetime

from obslog.club.register.observing_site import place_of
from obslog.grammar.target_names import Target
from obslog.records.tables.logbook_tables import Site
from obslog.sky.names.solar_system import Body
from obslog.values import Place
from obslog.vocabulary.cautions import Danger

SURELY_NIGHT_DEG = -2.0
"""With the Sun's centre lower than that no part of it is up, however rough the air and the quick formula."""


def caution_at(target: Target, at_utc: datetime, site: Site) -> str | None:
    """The solar caution that pointing at a target needs then; None by night, or where the site's place is unknown.

    The Sun needs it always. Of a target whose place is unknown, only that the Sun is up is known.
    """
    if target.body is Body.SUN:
        return Danger.THE_SUN
    place = place_of(site)
    if place is None:
        return None
    from obslog.sky.places.quick_altitude import quick_sun_alt_deg

    if quick_sun_alt_deg(at_utc, place) < SURELY_NIGHT_DEG:
        return None
    return _by_day(target, at_utc, place)


def caution_by_day(at_utc: datetime, site: Site) -> str | None:
    """The caution that any direction needs while the Sun is up; None by night, or where the site's place is unknown."""
    from obslog.sky.places.quick_altitude import quick_sun_alt_deg

    place = place_of(site)
    if place is None or quick_sun_alt_deg(at_utc, place) < SURELY_NIGHT_DEG:
        return None
    from obslog.sky.evening.sun_caution import caution_of_the_day
    from obslog.sky.places.kernel import DateOutsideEphemeris

    try:
        return caution_of_the_day(at_utc, place)
    except DateOutsideEphemeris:
        return Danger.DAYTIME


def body_alt_az_deg(body: Body, at_utc: datetime, place: Place) -> tuple[float, float] | None:
    """The refracted altitude and the azimuth of a body; None for a date that the ephemeris does not reach."""
    from obslog.sky.places.ephemeris import body_places
    from obslog.sky.places.kernel import DateOutsideEphemeris

    try:
        there = body_places(body, at_utc, place)
    except DateOutsideEphemeris:
        return None
    return float(there.alt_deg), float(there.az_deg)


def body_alts_deg(body: Body, instants: Sequence[datetime], place: Place) -> list[float] | None:
    """The refracted altitudes of a body at several instants; None where the ephemeris does not reach one of them."""
    from obslog.sky.places.ephemeris import body_places
    from obslog.sky.places.kernel import DateOutsideEphemeris

    try:
        return [float(alt_deg) for alt_deg in body_places(body, instants, place).alt_deg]
    except DateOutsideEphemeris:
        return None


def _by_day(target: Target, at_utc: datetime, place: Place) -> str | None:
    from obslog.sky.evening.sun_caution import caution_for, caution_of_the_day
    from obslog.sky.places.apparent_places import Directions
    from obslog.sky.places.kernel import DateOutsideEphemeris

    try:
        if target.body is not None:
            return caution_for([target.body], at_utc, place)
        if target.ra_hours is not None and target.dec_deg is not None:
            return caution_for([Directions(target.ra_hours, target.dec_deg)], at_utc, place)
        return caution_of_the_day(at_utc, place)
    except DateOutsideEphemeris:
        return Danger.DAYTIME
