"""The words that are stored: roles, landings, mount types, scales, checklist steps. One word per thing, everywhere."""

from collections.abc import Sequence
from enum import StrEnum

FOLLOW_RULES = "Follow local rules; if in doubt ask somebody qualified."
SUN_CAUTION = (
    f"Never point a telescope or finder toward the Sun without a proper filter over the front. {FOLLOW_RULES}"
)
LASER_CAUTION = (
    "A pointing laser: look for aircraft and people before it is on and all the while; a switch that is on only while "
    "pressed; in the bag it is off and its battery out."
)
COLLIMATION_LASER_CAUTION = "A collimation laser never shines toward an eye."
BATTERY_CAUTION = (
    "Batteries: cap the terminals, a short circuit burns; charge none unattended, a lead-acid one only where air "
    "moves, for it gives off gas, a lithium one never below 0 °C; never warm a frozen one."
)


def counted(number: int, one: str, many: str | None = None) -> str:
    """`1 loan`, `3 loans`."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def enumerated(names: Sequence[str]) -> str:
    """`Heron`, `Heron and Anvil`, `Heron, Anvil and Kelp`; empty of none."""
    *others, last = names or ("",)
    return f"{', '.join(others)} and {last}" if others else last


def how_often(count: int) -> str:
    """`once`, `twice`, `3 times`."""
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


def with_article(noun: str) -> str:
    """`a mount`, `an item`."""
    return f"an {noun}" if noun[0] in "aeiou" else f"a {noun}"


NO_ONE = "none"  # in place of the name of an eyepiece or a mount: none was used


def says_none(name: str | None) -> bool:
    """Whether in place of a name stands that there was none."""
    return name is not None and name.strip().casefold() == NO_ONE


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


# What a hint puts behind `mount add NAME` and the like: no "german|fork", for a shell takes the bar as a pipe.
MOUNT_OPTIONS = (
    "--type TYPE --controller CONTROLLER; TYPE is german, fork or altaz, CONTROLLER is shift, model or none"
)
SITE_OPTIONS = "--lat DEG --lon DEG --tz ZONE"
TUBE_OPTIONS = "--aperture-mm MM --focal-mm MM"
EYEPIECE_OPTIONS = "--focal-mm MM --field-deg DEG"


class Role(StrEnum):
    SYNC = "sync"
    CHECK = "check"
    GOTO = "goto"


class PierSide(StrEnum):
    """The side of the pier on which the tube is."""

    EAST = "east"
    WEST = "west"


class Landing(StrEnum):
    """Where an object stood on arrival, when nobody measured it."""

    CENTRED = "centred"
    IN = "in"
    EDGE = "edge"
    FINDER = "finder"
    LOST = "lost"


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


class SkyScale(StrEnum):
    """Scales of what the sky was like. They are never turned into one another; some run upward and some downward."""

    ANTONIADI = "antoniadi"
    PICKERING = "pickering"
    SEEING_0_10 = "seeing-0-10"
    TRANSPARENCY_1_7 = "transparency-1-7"
    NAKED_EYE_LIMIT = "naked-eye-limit"
    SKY_METER = "sky-meter"
    BORTLE = "bortle"
    CLOUD_EIGHTHS = "cloud-eighths"
    TEMPERATURE_C = "temperature-c"
    HUMIDITY_PERCENT = "humidity-percent"
    WIND_BEAUFORT = "wind-beaufort"

    @property
    def column(self) -> str:
        """Its name as a column of a sheet, and as a key: `naked_eye_limit`."""
        return self.value.replace("-", "_")


SKY_SCALE_RANGE: dict[SkyScale, tuple[float, float]] = {
    SkyScale.ANTONIADI: (1, 5),
    SkyScale.PICKERING: (1, 10),
    SkyScale.SEEING_0_10: (0, 10),
    SkyScale.TRANSPARENCY_1_7: (1, 7),
    SkyScale.NAKED_EYE_LIMIT: (-2, 9),
    SkyScale.SKY_METER: (10, 23),
    SkyScale.BORTLE: (1, 9),
    SkyScale.CLOUD_EIGHTHS: (0, 8),
    SkyScale.TEMPERATURE_C: (-60, 60),
    SkyScale.HUMIDITY_PERCENT: (0, 100),
    SkyScale.WIND_BEAUFORT: (0, 12),
}

SKY_SCALE_MEANING: dict[SkyScale, str] = {
    SkyScale.ANTONIADI: "seeing, 1 (best) to 5",
    SkyScale.PICKERING: "seeing, 1 to 10 (best)",
    SkyScale.SEEING_0_10: "planetary seeing, 0 to 10 (best)",
    SkyScale.TRANSPARENCY_1_7: "transparency, 1 to 7 (best)",
    SkyScale.NAKED_EYE_LIMIT: "faintest star by eye, magnitude",
    SkyScale.SKY_METER: "sky brightness at the zenith, magnitude per square arcsecond; more is darker",
    SkyScale.BORTLE: "Bortle class, 1 (darkest) to 9",
    SkyScale.CLOUD_EIGHTHS: "cloud, eighths of the sky",
    SkyScale.TEMPERATURE_C: "air temperature, degrees Celsius",
    SkyScale.HUMIDITY_PERCENT: "relative humidity, percent",
    SkyScale.WIND_BEAUFORT: "wind, Beaufort force",
}


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


class Cause(StrEnum):
    """Why a first star is missed: the mistakes that are told apart, and what is none of them."""

    ORDINARY = "ordinary"
    SUMMER_TIME = "summer time"
    CLOCK = "clock"
    TIME_ZONE = "time zone"
    MORNING_FOR_EVENING = "morning for evening"
    DATE = "date"
    DAY_AND_MONTH_SWAPPED = "day and month swapped"
    LONGITUDE_SIGN = "longitude sign"
    ANOTHER_SITES_LONGITUDE = "another site's longitude"
    DEGREES_AND_MINUTES = "degrees and minutes"
    LATITUDE = "latitude"
    DECLINATION_ZERO = "declination zero"
    HOUR_AXIS_HOME = "hour axis home"
    WRONG_STAR = "wrong star"
    SENT_TO_ANOTHER_STAR = "sent to another star"
    POLAR_AXIS = "polar axis"
    EQUINOX = "equinox"
    SOMETHING_ELSE = "something else"


class MisfitKind(StrEnum):
    """What the model of a mount may leave out."""

    CHANGE = "change"
    SIDE_OF_PIER = "side-of-pier"
    OBSERVER = "observer"
    DIRECTION = "direction"
    ALTITUDE = "altitude"
    TEMPERATURE = "temperature"
    SCATTER = "scatter"
    MISFIT = "misfit"


class Fault(StrEnum):
    """What a set-up's own arrivals show to have gone wrong, beside the causes of a first miss."""

    TILTED_BASE = "tilted base"
    FIRST_STAR_LOST = "first star lost"
    FAR_LANDINGS = "far landings"
    BEGUN_ANEW = "begun anew"


class Found(StrEnum):
    """How an item, or a part of a kit that is only a label, stands in a stocktake."""

    SEEN = "seen"
    ELSEWHERE = "seen elsewhere"
    NOT_SEEN = "not seen"
    """Nobody ticked the item; of a part: it was looked for in its kit and was not there."""
    NOT_LOOKED_AT = "not looked at"
    """A part of a kit that nobody looked through."""
    ON_LOAN = "on loan"
    STILL_MISSING = "missing before"
    BACK = "missing before, and seen"
    AGAINST_RECORD = "seen, against the record"
    """It was seen, though by the records it is lent, retired or written off."""


class Condition(StrEnum):
    """In what condition a part goes out or comes back."""

    GOOD = "good"
    WORN = "worn"
    DAMAGED = "damaged"
    MISSING = "missing"


class ReminderLevel(StrEnum):
    """How late a loan was when its borrower was written to; the last is for one who waits and is next."""

    DUE_SOON = "due soon"
    DUE = "due"
    OVERDUE = "overdue"
    ESCALATED = "escalated"
    NEXT = "next"


class Acquired(StrEnum):
    """How the club came by a thing."""

    BOUGHT = "bought"
    GIFT = "gift"
    MADE = "made"


THE_PERSONS = (
    Step.PACK,
    Step.GROUND,
    Step.LEVEL,
    Step.COOL,
    Step.KEY_IN,
    Step.POLAR_AXIS,
    Step.SYNC_STARS,
    Step.WRITE_DOWN,
)


class Danger(StrEnum):
    """Why the caution is given, the worst first; the value is the sentence shown."""

    THE_SUN = (
        "The Sun: look only with a solar filter made for it, fixed over the front of the tube and free of "
        "holes, the finder capped or removed. One look through unfiltered optics blinds."
    )
    NEAR_THE_SUN = (
        "Close to the Sun while it is up: one look at it through tube or finder blinds. Put the tube in the "
        "shade of a wall, keep the finder capped, and let no mount slew across the Sun."
    )
    NEVER_FAR = (
        "Never far from the Sun: look for it after sunset or before sunrise. While the Sun is up keep tube and finder "
        "capped; one look at it through either blinds."
    )
    DAYTIME = (
        "The Sun is up: keep tube and finder capped until they point well away from it, let no mount slew "
        "across it, and never leave them open and unattended."
    )
