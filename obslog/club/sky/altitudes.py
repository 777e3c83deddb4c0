"""How high targets stood. Of many at once a body of the solar system is asked for all its instants together.

The ephemeris takes a millisecond for one instant and hardly more for a thousand.
"""

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import NamedTuple

from obslog.club.sky.solar_questions import body_alt_az_deg, body_alts_deg
from obslog.grammar.target_names import Target
from obslog.sky.names.solar_system import Body
from obslog.values import Place


class LookedAt(NamedTuple):
    """A target, when it was looked at, and from where; the place is None where it is not on record."""

    target: Target
    at_utc: datetime
    place: Place | None


def alt_az_deg(target: Target, at_utc: datetime, place: Place | None) -> tuple[float, float] | None:
    """The refracted altitude and the azimuth of one target; None where its place or that of the site is unknown."""
    if place is None:
        return None
    if target.body is not None:
        return body_alt_az_deg(target.body, at_utc, place)
    if target.ra_hours is None or target.dec_deg is None:
        return None
    from obslog.sky.places.quick_altitude import quick_alt_az_deg

    return quick_alt_az_deg(target.ra_hours, target.dec_deg, at_utc, place)


def altitudes_deg(looks: Sequence[LookedAt]) -> list[float | None]:
    """The refracted altitude of each, to a tenth of a degree; None where its place or the site's is unknown."""
    found: list[float | None] = [_alt_of_fixed_deg(look) for look in looks]
    wandering: dict[tuple[Body, Place], list[int]] = {}
    for index, look in enumerate(looks):
        if look.target.body is not None and look.place is not None:
            wandering.setdefault((look.target.body, look.place), []).append(index)
    for (body, place), indices in wandering.items():
        for index, alt_deg in zip(
            indices, _alts(body, [looks[i].at_utc for i in indices], place), strict=True
        ):
            found[index] = None if alt_deg is None else round(alt_deg, 1)
    return found


def _alt_of_fixed_deg(look: LookedAt) -> float | None:
    stood = None if look.target.body is not None else alt_az_deg(*look)
    return None if stood is None else round(stood[0], 1)


def _alts(body: Body, instants: Sequence[datetime], place: Place) -> Iterator[float | None]:
    """All at once; one at a time where the ephemeris does not reach one of them."""
    alts_deg = body_alts_deg(body, instants, place)
    if alts_deg is not None:
        yield from alts_deg
        return
    for at_utc in instants:
        stood = body_alt_az_deg(body, at_utc, place)
        yield None if stood is None else stood[0]
