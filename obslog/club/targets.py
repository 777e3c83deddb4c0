"""What a target's name means: a star, a deep-sky object, a body of the solar system, or a name kept as written."""

from dataclasses import dataclass

from obslog.errors import nearest_names
from obslog.sky.deepsky import NotOneObject, find_object
from obslog.sky.solar_system import body_or_none
from obslog.sky.stars import all_stars, star_or_none


@dataclass(frozen=True, slots=True)
class Target:
    """A target under its proper name. The place is ICRS, J2000; bodies that wander and unknown names have none."""

    name: str
    known: bool
    ra_hours: float | None = None
    dec_deg: float | None = None
    nearest: tuple[str, ...] = ()


def target_named(text: str) -> Target:
    """The target that a text means; an unknown name is kept as written, with the names that come nearest."""
    text = " ".join(text.split())
    if body := body_or_none(text):
        return Target(body.value, True)
    if star := star_or_none(text):
        return Target(star.name, True, star.ra_hours, star.dec_deg)
    try:
        found = find_object(text)
    except NotOneObject:
        return Target(text, False, nearest=tuple(nearest_names(text, [star.name for star in all_stars()])))
    return Target(found.known_as, True, found.ra_hours, found.dec_deg)
