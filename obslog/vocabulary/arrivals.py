"""What an arrival was for, and where the object stood then."""

from enum import StrEnum


class Role(StrEnum):
    SYNC = "sync"
    CHECK = "check"
    GOTO = "goto"


class Landing(StrEnum):
    """Where an object stood on arrival, when nobody measured it."""

    CENTRED = "centred"
    IN = "in"
    EDGE = "edge"
    FINDER = "finder"
    LOST = "lost"
