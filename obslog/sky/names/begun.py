"""The names in the sky that a half-typed one may become."""

from functools import cache

from obslog.sky.names.deepsky_names import common_names
from obslog.sky.names.solar_system import Body
from obslog.sky.names.spelling import folded
from obslog.sky.names.star_tables import all_stars

MESSIER = tuple(f"M {number}" for number in range(1, 111))


def names_beginning(typed: str) -> list[str]:
    """Bodies, named stars and objects whose name begins so, in that order, Messier's first; none for nothing."""
    begun = folded(typed)
    return [name for plain, name in _names() if begun and plain.startswith(begun)]


@cache
def _names() -> tuple[tuple[str, str], ...]:
    stars = sorted(star.name for star in all_stars() if star.is_named)
    found = dict.fromkeys([*Body, *stars, *MESSIER, *sorted(name for name, _ in common_names())])
    return tuple((folded(name), str(name)) for name in found)
