"""What may stand in each field that people fill in: its name in words, the ends of its range, its longest text.

The options' help, the cells of a sheet, the checks of the club and the CHECKs of the tables are all made from these,
so that no two of them can disagree. Both ends of a range belong to it.
"""

import re
from dataclasses import dataclass

from obslog.errors import OutOfRange, WrongInput
from obslog.vocabulary.sky_scales import SKY_SCALE_RANGE, SkyScale

# Control characters, which no keyboard types; what turns the direction of the text after it (Unicode annex 9, explicit
# formatting), so that a page would say something else than is kept; halves of a character that no encoding can write.
_UNUSABLE = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff]")


def usable(text: str) -> str:
    """The text without the characters that no field keeps, for what comes from elsewhere and is taken as it can be."""
    return _UNUSABLE.sub("", text)


def unusable(text: str) -> bool:
    """Whether the text has characters that cannot be kept."""
    return _UNUSABLE.search(text) is not None


class UnusableText(WrongInput):
    def __init__(self, what: str, longest: int) -> None:
        super().__init__(
            f"{what} has 1 to {longest} characters and no control characters.", "Give it shorter or plainer."
        )


@dataclass(frozen=True, slots=True)
class NumberField:
    """A number between two ends, both of which belong to it."""

    words: str
    low: float
    high: float
    unit: str = ""
    whole: bool = False

    def holds(self, value: float) -> bool:
        """Whether the value is in the range; what is no number is not."""
        return self.low <= value <= self.high

    def check(self, value: float | None, shown: object = None) -> None:
        """Raises OutOfRange; None is unknown and passes. `shown` is the value as it was typed."""
        if value is not None and not self.holds(value):
            raise OutOfRange(self.words, value if shown is None else shown, self.low, self.high, self.unit)

    @property
    def range_words(self) -> str:
        """The range for a help text: `0.01 to 10800 arcminutes`."""
        return f"{self.low:g} to {self.high:g} {self.unit}".strip()


@dataclass(frozen=True, slots=True)
class TextField:
    """A text of 1 to `longest` characters; one that is no more than a line has its spaces tidied."""

    words: str
    longest: int = 4000
    one_line: bool = False

    def holds(self, text: str) -> bool:
        """Whether the text may be kept as it stands."""
        return 1 <= len(text) <= self.longest and not unusable(text) and not (self.one_line and "\n" in text)

    def checked(self, text: str) -> str:
        """The text without the spaces around it; raises UnusableText where nothing is left, or it cannot be kept."""
        text = " ".join(text.split()) if self.one_line else text.strip()
        if not 1 <= len(text) <= self.longest or _UNUSABLE.search(text):
            raise UnusableText(self.words, self.longest)
        return text

    def checked_or_none(self, text: str | None) -> str | None:
        """As `checked`; a text that was not given, or is blank, is none."""
        return self.checked(text) if text and text.strip() else None


HALF_A_TURN_ARCMIN = 10800.0  # of the sky: nothing is farther away, and no field is wider

LATITUDE_DEG = NumberField("Latitude", -90, 90, "degrees")
LONGITUDE_DEG = NumberField("Longitude", -180, 180, "degrees")
ELEVATION_M = NumberField("Elevation", -500, 9000, "metres")
APERTURE_MM = NumberField("The aperture", 10, 5000, "mm")
TUBE_FOCAL_MM = NumberField("The focal length of the tube", 1, 50_000, "mm")
EYEPIECE_FOCAL_MM = NumberField("The focal length of the eyepiece", 0.5, 1000, "mm")
APPARENT_FIELD_DEG = NumberField("The apparent field", 1, 150, "degrees")
FIELD_STOP_MM = NumberField("The field stop", 0.5, 100, "mm")
BARLOW = NumberField("The factor of the Barlow lens", 0.1, 20)

SETUP_ORDINAL = NumberField("The number of the set-up", 1, 99, whole=True)
RA_HOURS = NumberField("The right ascension", 0, 24, "hours")
DEC_DEG = NumberField("The declination", -90, 90, "degrees")
OFFSET_ARCMIN = NumberField("The offset", -HALF_A_TURN_ARCMIN, HALF_A_TURN_ARCMIN, "arcminutes")
FIELD_ARCMIN = NumberField("The true field", 0.01, HALF_A_TURN_ARCMIN, "arcminutes")
CENTRING_ARCMIN = NumberField("The centring error", 0, HALF_A_TURN_ARCMIN, "arcminutes")
MAGNIFICATION = NumberField("The magnification", 1, 5000)
RATING = NumberField("The rating", 1, 5, "(the best)", whole=True)
LOWEST_TO_LOOK_DEG = NumberField("The altitude", 0, 89, "degrees")  # for what is only looked up, not kept
ALTITUDE_DEG = NumberField("The altitude", -90, 90, "degrees")

LOAN_TERM_DAYS = NumberField("The term", 1, 3660, "days", whole=True)
KIT_WEIGHT_KG = NumberField("The weight", 0, 1000, "kg")
DEPOSIT = NumberField("The deposit", 0, 1_000_000)
COST = NumberField("The cost", 0, 10_000_000)
VALUE = NumberField("The value", 0, 10_000_000)
NEXT_AFTER_NIGHTS = NumberField("The number of nights", 1, 10_000, whole=True)
NEXT_IN_MONTHS = NumberField("The number of months", 1, 240, whole=True)  # kept as the day that it comes to
REST_VOLTS = NumberField("The voltage at rest", 0, 100, "V")
LOAD_VOLTS = NumberField("The voltage under load", 0, 100, "V")
CAPACITY_PERCENT = NumberField("The capacity", 0, 200, "percent")

NAME = TextField("The name", 200, one_line=True)
PHONE = TextField("The phone number", 60)
EMAIL = TextField("The e-mail address", 254)  # RFC 5321, 4.5.3.1.3, a path less its brackets
ADDRESS = TextField("The address", 400)
TARGET = TextField("The target", 200, one_line=True)
NOTE = TextField("The note")
DESCRIPTION = TextField("The description")
FILTER = TextField("The filter", 200)
SKETCH = TextField("The sketch", 500)
SNAG = TextField("The snag")
REMEDY = TextField("The remedy")
HORIZON = TextField("The horizon")
SERVICE = TextField("The service")
TICK_VALUE = TextField("The value", 200)
CATEGORY = TextField("The category", 200)
STEP = TextField("The step", 40, one_line=True)
STEP_TITLE = TextField("The title", 60, one_line=True)
STEP_TOLERANCE = TextField("The tolerance", 120, one_line=True)
STEP_WORDS = TextField("What is said of a step", 500, one_line=True)
TASK = TextField("The task", 50, one_line=True)
TASK_OF = TextField("What a task is of", 200, one_line=True)
TASK_WORDS = TextField("What is said of a task", 500, one_line=True)
CONDITION_WORD = TextField("A word for a condition", 40, one_line=True)
LOAN_TERMS = TextField("The text that a borrower agrees to", 4000)
EVERY_MONTHS = NumberField("The number of months", 1, 240, whole=True)
EVERY_NIGHTS = NumberField("The number of nights", 1, 10_000, whole=True)
RENEWALS = NumberField("The number of renewals", 0, 100, whole=True)


def sky_reading(scale: SkyScale) -> NumberField:
    """What a number on that scale of the sky may be."""
    return NumberField(f"The {scale} reading", *SKY_SCALE_RANGE[scale])
