"""What a name in the sky means, whatever it is: a body of the solar system, a star, a deep-sky object."""

from dataclasses import dataclass

from obslog.errors import WrongInput, nearest_names, quoted
from obslog.sky.names.deepsky import DeepSkyObject, NotOneObject, UnknownObject, find_object
from obslog.sky.names.solar_system import Body, body_or_none
from obslog.sky.names.stars import Star, all_stars, star_or_none

Thing = Body | Star | DeepSkyObject


class UnknownInSky(WrongInput):
    def __init__(self, text: str, nearest: list[str]) -> None:
        self.nearest = nearest
        near = f"Did you mean {' or '.join(nearest)}? " if nearest else ""
        part = quoted(text.split()[0]) if text.split() else "PART-OF-ITS-NAME"
        super().__init__(
            f"There is no star or object named {text!r}.", f"{near}Look for it: obslog sky find {part}"
        )


@dataclass(frozen=True, slots=True)
class Found:
    """What a text names, under the name that people use."""

    name: str
    thing: Thing


def find_in_sky(text: str) -> Found:
    """The body, star or object that a text names, in that order.

    Raises: UnknownInSky, with the nearest names; NotOneObject, where a name could mean several or nothing.
    """
    if body := body_or_none(text):
        return Found(body.value, body)
    if star := star_or_none(text):
        return Found(star.name, star)
    try:
        thing = find_object(text)
    except UnknownObject as error:
        raise UnknownInSky(text, _nearest(text, error)) from error
    return Found(thing.known_as, thing)


def found_or_none(text: str) -> Found | None:
    """As `find_in_sky`, with None for a name that is not known or not of one thing."""
    try:
        return find_in_sky(text)
    except (UnknownInSky, NotOneObject):
        return None


def _nearest(text: str, error: UnknownObject) -> list[str]:
    """Stars whose spelling comes near; else whatever the deep-sky catalogue finds nearest."""
    return nearest_names(text, [star.name for star in all_stars()]) or list(error.nearest)
