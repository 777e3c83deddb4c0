"""What goes wrong: why a first star is missed, what a set-up shows, and what the model of a mount leaves out."""

from enum import StrEnum


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


class SetupFault(StrEnum):
    """What a set-up's own arrivals show to have gone wrong, beside the causes of a first miss."""

    TILTED_BASE = "tilted base"
    FIRST_STAR_LOST = "first star lost"
    FAR_LANDINGS = "far landings"
    BEGUN_ANEW = "begun anew"
