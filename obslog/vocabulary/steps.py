"""The steps of a set-up."""

from enum import StrEnum


class Step(StrEnum):
    """The steps of a set-up, in order; a snag belongs to one of them."""

    PACK = "pack"
    GROUND = "ground"
    LEVEL = "level"
    ASSEMBLE = "assemble"
    BALANCE = "balance"
    HOME = "home"
    FINDER = "finder"
    CABLES = "cables"
    POWER = "power"
    COOL = "cool"
    KEY_IN = "key-in"
    POLAR_AXIS = "polar-axis"
    SYNC_STARS = "sync-stars"
    CENTRE = "centre"
    VERIFY = "verify"
    WRITE_DOWN = "write-down"
    FINISH = "finish"


StepKey = str
"""A step as it is stored: one of `Step`, or the key of a step that the club has added itself."""

PEOPLE_DO = (
    Step.PACK,
    Step.GROUND,
    Step.LEVEL,
    Step.COOL,
    Step.KEY_IN,
    Step.POLAR_AXIS,
    Step.SYNC_STARS,
    Step.WRITE_DOWN,
)
"""What people do whatever the mount: a snag there speaks of them, not of it."""
