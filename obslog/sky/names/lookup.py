"""What a name in the sky means, whatever it is: a body of the solar system, a star, an object, or bare coordinates."""

from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING, TypeAlias

from obslog.errors import WrongInput, quoted
from obslog.sky.names.constellations import abbreviations_by_spelling, all_constellations
from obslog.sky.names.deepsky import DeepSkyObject, NotOneObject, nearest_objects, object_if_known
from obslog.sky.names.deepsky_names import common_names, read_designation
from obslog.sky.names.solar_system import Body, body_or_none
from obslog.sky.names.spelling import folded
from obslog.sky.names.star_tables import Star
from obslog.sky.names.stars import greek_spelled_out, known_names, star_or_none

if TYPE_CHECKING:
    from obslog.sky.names.coordinates import SkyPoint

Thing: TypeAlias = "Body | Star | DeepSkyObject | SkyPoint"

_LIKE_ENOUGH = 0.6


class UnknownInSky(WrongInput):
    def __init__(self, text: str, nearest: list[str]) -> None:
        self.nearest = nearest
        near = f"Did you mean {' or '.join(nearest)}? " if nearest else ""
        part = quoted(text.split()[0]) if text.split() else "PART-OF-ITS-NAME"
        super().__init__(
            f"There is no star or object named {text!r}.", f"{near}Look for it: obslog sky find {part}"
        )


class KindNotKnown(UnknownInSky):
    """Something of a kind that is not known here at all."""

    def __init__(self, text: str, kind: str) -> None:
        self.nearest = []
        WrongInput.__init__(
            self,
            f"{text!r} has no place here: {kind} are not known.",
            'Give its coordinates, like "5h35m -5d23m".',
        )


@dataclass(frozen=True, slots=True)
class FoundInSky:
    """What a text names, under the name that people use."""

    name: str
    thing: Thing


def find_in_sky(text: str) -> FoundInSky:
    """The body, star or object that a text names, in that order; else the place of its coordinates.

    Raises: UnknownInSky, with the nearest names; NotOneObject, where a name could mean several or nothing.
    """
    if found := placed_without_objects(text):
        return found
    found = found_object(text)
    if found is None:
        raise _unknown(text)
    return found


def placed_without_objects(text: str) -> FoundInSky | None:
    """The body, star or place of coordinates that a text names; the tables of objects are not read.

    Raises: BadCoordinates, where they look like some and cannot be meant.
    """
    if body := body_or_none(text):
        return FoundInSky(body.value, body)
    if star := star_or_none(text):
        return FoundInSky(star.name, star)
    point = _point_or_none(text)
    return FoundInSky(point.name, point) if point else None


def found_object(text: str) -> FoundInSky | None:
    """The deep-sky object that a text names; None for an unknown name, for which no nearest ones are looked for.

    Raises: NotOneObject, where it could mean several or nothing.
    """
    thing = object_if_known(text)
    if thing is None and (full := _with_genitive(text)):
        thing = object_if_known(full)
    return FoundInSky(thing.known_as, thing) if thing else None


def found_or_none(text: str) -> FoundInSky | None:
    """As `find_in_sky`, with None for a name that is not known or not of one thing."""
    try:
        return placed_without_objects(text) or found_object(text)
    except NotOneObject:
        return None


def nearest_in_sky(text: str) -> list[str]:
    """The names of bodies, stars and objects that look most like a text, at most three, best first."""
    wanted = folded(text)
    objects = {folded(name): name for name, _ in common_names()}
    names = objects | {folded(name): name for name in (*known_names(), *Body)}
    return [str(names[near]) for near in get_close_matches(wanted, names, n=3, cutoff=_LIKE_ENOUGH)]


def _point_or_none(text: str) -> "SkyPoint | None":
    """As in coordinates.py, which is loaded only for what may be some: quick verbs seldom have any."""
    if not text.strip()[:1].isdigit():
        return None
    from obslog.sky.names.coordinates import point_or_none

    return point_or_none(text)


def _unknown(text: str) -> UnknownInSky:
    from obslog.sky.names.not_known import kind_not_known

    if kind := kind_not_known(text):
        return KindNotKnown(text, kind)
    near = nearest_objects(text) if read_designation(text) else nearest_in_sky(text)
    return UnknownInSky(text, list(near))


def _with_genitive(text: str) -> str | None:
    """A designation with its constellation written out: `omega Cen` as Omega Centauri, `tau CMa cluster` likewise."""
    words = text.split()
    for place in range(1, len(words)):
        constellation = abbreviations_by_spelling().get(folded(words[place]))
        if constellation:
            letter = greek_spelled_out(" ".join(words[:place]))
            return " ".join((letter, all_constellations()[constellation].genitive, *words[place + 1 :]))
    return None
