"""What each mistake is called, how often it happens, what to do and what to look at to be certain."""

from dataclasses import dataclass, replace

from obslog.vocabulary.mistakes import Cause
from obslog.vocabulary.mounts import MountType


@dataclass(frozen=True, slots=True)
class MistakeWords:
    """A mistake in words; `weight` is how often it happens among bad first stars, before the club's own record;
    only the proportions count.

    The weights are judged from common practice (no source): observers blame what was keyed in far more often
    than the mount. `what` may hold a place for the particulars of the case; `remedy` and `look_at` may hold `{pole}`
    for the visible pole's declination and `{pole_star}` for its star.
    """

    weight: float
    what: str
    remedy: str
    look_at: str


WORDS: dict[Cause, MistakeWords] = {
    Cause.ORDINARY: MistakeWords(
        10.0,
        "no mistake: an ordinary set-up lands this far off",
        "Centre the star, sync, and go on.",
        "The next star should land much closer.",
    ),
    Cause.SUMMER_TIME: MistakeWords(
        18.0,
        "summer time set wrongly: the controller is {} by one hour",
        "Change the summer time setting, then go to the star again.",
        "The sidereal time that the controller shows: it will be an hour off.",
    ),
    Cause.CLOCK: MistakeWords(
        10.0,
        "the clock is {}",
        "Set the clock from a phone or a radio signal, to the minute.",
        "The time that the controller shows, seconds included.",
    ),
    Cause.TIME_ZONE: MistakeWords(
        8.0,
        "the time zone is wrong: the controller is {}",
        "Set the time zone of the site (west of Greenwich is behind universal time).",
        "The zone that the controller shows, and its sign.",
    ),
    Cause.MORNING_FOR_EVENING: MistakeWords(
        3.0,
        "morning given for evening: twelve hours off",
        "Give the time on the 24-hour clock.",
        "Whether the controller shows morning or evening.",
    ),
    Cause.DATE: MistakeWords(
        5.0,
        "the date is one day {}",
        "Give the date that the clock has now; after midnight it is the next day.",
        "The date that the controller shows.",
    ),
    Cause.DAY_AND_MONTH_SWAPPED: MistakeWords(
        5.0,
        "day and month swapped: {}",
        "Give the date in the controller's own order, and read it back aloud.",
        "The date that the controller shows, month by name if it can.",
    ),
    Cause.LONGITUDE_SIGN: MistakeWords(
        7.0,
        "the longitude has the wrong sign: east for west",
        "Give the longitude again and choose east or west.",
        "The site that the controller shows.",
    ),
    Cause.ANOTHER_SITES_LONGITUDE: MistakeWords(
        5.0,
        "the longitude is still that of {}",
        "Give tonight's site.",
        "The site that the controller shows.",
    ),
    Cause.DEGREES_AND_MINUTES: MistakeWords(
        4.0,
        "degrees and minutes given for decimal degrees, or the reverse, in the {}",
        "Give the place again: 0.50° is 30 minutes.",
        "Whether the controller shows minutes (up to 59) or decimals.",
    ),
    Cause.LATITUDE: MistakeWords(
        5.0,
        "the latitude is wrong: {}",
        "Give the latitude of tonight's site, with its sign.",
        "The site that the controller shows.",
    ),
    Cause.DECLINATION_ZERO: MistakeWords(
        8.0,
        "the declination axis did not start from its home position: {} off",
        "Put the tube along the polar axis, declination reading {pole}, and start again.",
        "After a flip the star misses by as much the other way.",
    ),
    Cause.HOUR_AXIS_HOME: MistakeWords(
        5.0,
        "the first axis did not start from its home position: {}° off",
        "Put the mount in its home position, the counterweight bar down, and start again.",
        "Which way the counterweight points in the home position.",
    ),
    Cause.WRONG_STAR: MistakeWords(
        12.0,
        "another star was taken for it: {}",
        "Look for the right one: it should be near where the mount went.",
        "The patterns of stars around it, with the finder chart.",
    ),
    Cause.SENT_TO_ANOTHER_STAR: MistakeWords(
        4.0,
        "the mount was sent to another star: {}",
        "Choose the star again from the controller's list.",
        "The name that the controller shows as its target.",
    ),
    Cause.POLAR_AXIS: MistakeWords(
        8.0,
        "the polar axis is grossly off: about {}",
        "Point the axis at the pole again; check the altitude scale, the compass and the level.",
        "Whether {pole_star} stands in the polar scope, or in the finder at declination {pole}.",
    ),
    Cause.EQUINOX: MistakeWords(
        2.0,
        "coordinates of another equinox: {}",
        "Give the coordinates of today, or let the controller precess them.",
        "Which equinox the list or chart states.",
    ),
    Cause.SOMETHING_ELSE: MistakeWords(
        2.0,
        "something that is not on this list",
        "Start again from the home position, reading every value back aloud.",
        "Whether a clutch slipped or an axis is held by a cable.",
    ),
}
"""As they are said of a German mount."""
_OF_A_FORK = {
    Cause.DECLINATION_ZERO: replace(
        WORDS[Cause.DECLINATION_ZERO],
        look_at="The declination that the controller shows with the tube along the polar axis.",
    ),
    Cause.HOUR_AXIS_HOME: replace(
        WORDS[Cause.HOUR_AXIS_HOME],
        remedy="Put the fork in its home position, and start again.",
        look_at="Which way the arms of the fork stand in the home position.",
    ),
}
_OF_A_BASE = {
    Cause.DECLINATION_ZERO: replace(
        WORDS[Cause.DECLINATION_ZERO],
        what="the altitude axis did not start from its home position: {} off",
        remedy="Set the tube level, or as the controller asks, and start again.",
        look_at="The altitude that the controller shows with the tube level.",
    ),
    Cause.HOUR_AXIS_HOME: replace(
        WORDS[Cause.HOUR_AXIS_HOME],
        what="the azimuth axis did not start from its home position: {}° off",
        remedy="Turn the tube toward true north, or as the controller asks, and start again.",
        look_at="The azimuth that the controller shows with the tube toward true north.",
    ),
    Cause.POLAR_AXIS: replace(
        WORDS[Cause.POLAR_AXIS],
        what="the base is grossly out of level: it leans about {}",
        remedy="Level the base, and start again.",
        look_at="Whether the bubble stays in the middle as the head is turned through a circle.",
    ),
}
_OF_MOUNT = {MountType.GERMAN: {}, MountType.FORK: _OF_A_FORK, MountType.ALTAZ: _OF_A_BASE}


def words_for(cause: Cause, mount_type: MountType, lat_deg: float) -> MistakeWords:
    """The words of a mistake for a mount of that type at that latitude; only the place for particulars is left in."""
    words = _OF_MOUNT[mount_type].get(cause, WORDS[cause])
    pole, pole_star = ("90°", "the pole star") if lat_deg >= 0.0 else ("-90°", "Polaris Australis (σ Oct)")
    remedy, look_at = (text.format(pole=pole, pole_star=pole_star) for text in (words.remedy, words.look_at))
    return replace(words, remedy=remedy, look_at=look_at)
