"""Sun, Moon and planets by name; imports neither numpy nor Skyfield."""

from enum import StrEnum

from obslog.sky.names.spelling import folded


class Body(StrEnum):
    """The bodies of the solar system that have places here. The eighth planet is the one we stand on."""

    SUN = "Sun"
    MOON = "Moon"
    MERCURY = "Mercury"
    VENUS = "Venus"
    MARS = "Mars"
    JUPITER = "Jupiter"
    SATURN = "Saturn"
    URANUS = "Uranus"
    NEPTUNE = "Neptune"


INNER_PLANETS = frozenset({Body.MERCURY, Body.VENUS})
"""Never more than 28 and 48 degrees from the Sun."""


def body_or_none(text: str) -> Body | None:
    """The body that a text names, in any case, with or without an article; None for any other text."""
    name = folded(text.strip().removeprefix("the ").removeprefix("The "))
    return next((body for body in Body if folded(body) == name), None)
