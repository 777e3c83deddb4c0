"""What a mount is, and how its tube stands on it."""

from enum import StrEnum


class MountType(StrEnum):
    GERMAN = "german"
    FORK = "fork"
    ALTAZ = "altaz"


class Controller(StrEnum):
    """What a controller does with a second sync: move its zero points, or build a model of its own.

    A mount with none goes to no object by itself: nothing of its pointing is recorded, only what was seen with it.
    """

    SHIFT = "shift"
    MODEL = "model"
    NONE = "none"


MECHANICAL_TERMS = {"cone": "cone error", "squareness": "squareness", "sag": "sag"}
"""What belongs to a mount and its tube through one mechanical era, in the order of every fit, and in words."""


class PierSide(StrEnum):
    """The side of the pier on which the tube is."""

    EAST = "east"
    WEST = "west"
