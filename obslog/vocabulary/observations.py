"""How an object was found, with what, and whether it was seen."""

from enum import StrEnum

NO_ONE = "none"  # in place of the name of an eyepiece or a mount: none was used


def says_none(name: str | None) -> bool:
    """Whether in place of a name stands that there was none."""
    return name is not None and name.strip().casefold() == NO_ONE


class Sighting(StrEnum):
    SEEN = "seen"
    SUSPECTED = "suspected"
    NOT_SEEN = "not seen"


class FindingMethod(StrEnum):
    """How an object was found; observing programmes ask for it."""

    GOTO = "goto"
    STAR_HOP = "star-hop"
    CIRCLES = "circles"
    NAKED_EYE = "naked eye"
    BINOCULARS = "binoculars"
    OTHER = "other"


WITHOUT_TELESCOPE = (FindingMethod.NAKED_EYE, FindingMethod.BINOCULARS)


class Vision(StrEnum):
    """How an object was seen: looked at straight, or only with averted vision."""

    DIRECT = "direct"
    AVERTED = "averted"
