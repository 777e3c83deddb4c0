"""The written-down truth: what each mount, member and site really does to the pointing.

The program never sees it. Days count from the first of the two years. Angles are arcminutes, with the
signs of the definitions.
"""

from dataclasses import dataclass, field
from datetime import date, datetime

YEARS = 2
DAYS = 730
KNOCK_DAY = 395
REPAIR_DAY = 610
BRAMBLE_YEARLY_GROWTH = 2.8


@dataclass(frozen=True, slots=True)
class Era:
    """A mount's mechanics from `since_day` until the next era: its terms with a tube, and scatter per axis.

    Scatter (gear slack, loose clutches) is multiplied by `yearly_growth` for each year since the start
    of the two years.
    """

    since_day: int
    tube: str
    cone_arcmin: float
    squareness_arcmin: float
    sag_arcmin: float
    scatter_arcmin: float
    yearly_growth: float = 1.0


@dataclass(frozen=True, slots=True)
class MountTruth:
    """What one mount does.

    `scale_error_arcmin`: how far too high the axis stands when the altitude scale is believed.
    `polar_share`: how much of a member's usual polar error a good sight to the pole leaves.
    """

    name: str
    sentence: str
    eras: tuple[Era, ...]
    scale_error_arcmin: float = 0.0
    polar_share: float = 1.0


@dataclass(frozen=True, slots=True)
class Habits:
    """How a member sets up.

    `polar_sd_arcmin` per axis (also the levelling of alt-azimuth bases); `trusts_scale` the share of a
    scale's error that stays in; `home_sd_arcmin` how far off the home position is; `centring_sd_arcmin`
    per axis at a sync; `measures` the share of checks whose offset is measured. Slips of keying in are
    chances per set-up at which they can happen, wrong stars per star gone to, typing slips per offset typed.
    """

    name: str
    sentence: str
    polar_sd_arcmin: float
    home_sd_arcmin: float
    centring_sd_arcmin: float
    trusts_scale: float = 0.3
    azimuth_habit_arcmin: float = 0.0
    forgets_summer_time: float = 0.01
    swaps_day_and_month: float = 0.005
    turns_longitude_sign: float = 0.0
    wrong_star: float = 0.025
    typing_slip: float = 0.05
    measures: float = 0.7


@dataclass(frozen=True, slots=True)
class SiteTruth:
    """`polar_sd_arcmin` is added in quadrature to the member's own: what the ground does."""

    name: str
    sentence: str
    polar_sd_arcmin: float


MOUNT_TRUTHS = (
    MountTruth(
        "Old Grumble",
        "A sound mount with a bad name: it is the one the careless borrow.",
        (Era(0, "Short six", 3.0, 1.5, 0.8, 1.0),),
    ),
    MountTruth(
        "Silver Heron",
        "A poor mount with a good name: the watchmaker hides its cone and slack by careful set-ups.",
        (Era(0, "Patched eight", 10.0, -6.0, 2.0, 4.5),),
    ),
    MountTruth(
        "Bramble",
        "Wears: its slack nearly trebles every year. Its pole sight is good.",
        (Era(0, "Patched eight", -4.0, 2.0, 1.2, 3.0, BRAMBLE_YEARLY_GROWTH),),
        polar_share=0.5,
    ),
    MountTruth(
        "Anvil",
        "Good until it was knocked over; the workshop took most of the slack out and some of the cone.",
        (
            Era(0, "Big ten", 4.0, 2.0, 1.5, 1.6),
            Era(KNOCK_DAY, "Big ten", 34.0, -11.0, 3.5, 11.0),
            Era(REPAIR_DAY, "Big ten", 13.0, -5.0, 2.0, 4.0),
        ),
        polar_share=0.7,
    ),
    MountTruth(
        "Thistledown",
        "Light and a little loose; whoever believes its altitude scale sets the axis too high.",
        (Era(0, "Feather", 9.0, 4.0, 0.6, 2.4),),
        scale_error_arcmin=48.0,
    ),
    MountTruth(
        "Harbour Light",
        "The best of them, and its controller allows for refraction.",
        (Era(0, "Legacy seven", -2.0, 1.0, 1.0, 0.9),),
    ),
    MountTruth(
        "Tortoise",
        "Steady; its arms are not quite square.",
        (Era(0, "Fork nine", 5.0, 12.0, 2.5, 1.8),),
    ),
    MountTruth("Marigold", "An average fork.", (Era(0, "School five", -8.0, -4.0, 1.5, 2.6),)),
    MountTruth(
        "Pepperpot",
        "Springy; beginners sync it three times and still search. A cleaning changed nothing.",
        (Era(0, "Pepper five", 7.0, -6.0, 2.0, 3.6),),
    ),
    MountTruth("Nightjar", "Good for its weight.", (Era(0, "Rucksack four", -4.0, 3.0, 0.8, 2.0),)),
    MountTruth(
        "Long Paddock",
        "Sound; stands on its own pad, with the tube a little crooked in the saddle.",
        (Era(0, "Paddock eight", 14.0, -3.0, 1.0, 1.7),),
    ),
    MountTruth("Kelp", "Average, and salt does it no good.", (Era(0, "Kelp six", -5.0, 5.0, 1.2, 2.5),)),
)

# For two months the Silver Heron carried the long refractor.
HERON_OTHER_TUBE = (Era(0, "Grandmother's refractor", -9.0, -6.0, 1.0, 4.5),)

HABITS = (
    Habits("Maud Ellery", "Careful, with a steady hand.", 11, 20, 0.5, trusts_scale=0.1),
    Habits("Tomasz Wilga", "The most careful of all.", 5, 10, 0.3, trusts_scale=0.0, wrong_star=0.008,
    measures=0.9), Habits("Priya Raghunath", "Good, but tired: takes the wrong star more than others.",
    17, 30, 0.6, wrong_star=0.07), Habits("Idris Penhallow", "In a hurry: swaps day and month.", 38,
    70, 1.2, trusts_scale=0.9,
           swaps_day_and_month=0.35, typing_slip=0.09),
    Habits("Amara Nwosu-Bell", "Average; syncs while answering questions.", 22, 40, 1.5),
    Habits("Sven Aklestad", "Forgets summer time, from the end of March to the end of October.", 15, 25, 0.6,
           forgets_summer_time=0.55),
    Habits("Leocadia Furtado", "Average; sights the pole past the same cypress, always a little east.",
    16, 30, 0.7,
           azimuth_habit_arcmin=18),
    Habits("Hamish Dunbar-Voss", "Careful and complete.", 10, 20, 0.5, trusts_scale=0.1, typing_slip=0.015,
           measures=0.95),
    Habits("Noor El-Tayeb", "Careful; high powers.", 12, 25, 0.4),
    Habits("Jun Kitaoka", "Average; better at clusters than at levels.", 24, 35, 0.6, measures=0.5),
    Habits("Beatrix Oomen", "Quick and believes the scale.", 26, 40, 0.8, trusts_scale=0.8),
    Habits("Caspian Rook", "Careless at everything.", 52, 90, 1.8, trusts_scale=1.0, forgets_summer_time=0.05,
           wrong_star=0.06, typing_slip=0.12, measures=0.5),
    Habits("Ngaire Holloway", "Careful; once typed a western longitude for Otago.", 12, 20, 0.5,
           turns_longitude_sign=0.08),
    Habits("Mateo Luz-Ibarra", "Learning: no pole star to look at.", 34, 50, 0.9, typing_slip=0.09),
    Habits("Fenella Quayle", "Average; types with mittens on.", 20, 30, 0.7, typing_slip=0.15),
)  # fmt: skip

SITE_TRUTHS = (
    SiteTruth("Lantern Ford green", "Soft turf: tripods sink on the river side.", 10),
    SiteTruth("Owlpenny Edge", "Rock; the wind does no harm to the axis.", 3),
    SiteTruth("Terraço dos Furtado", "A tiled terrace with marked feet.", 2),
    SiteTruth("Whistlebark Bend", "A concrete pad.", 2),
)


@dataclass(frozen=True, slots=True)
class SetupKey:
    night: date
    site: str
    mount: str
    setup: int


@dataclass(frozen=True, slots=True)
class SetupTruth:
    """What one set-up really was. `slip` is None, or what was keyed in wrongly; the sky the controller then
    believes in is turned by `sidereal_error_hours`. Polar errors are tilt north and east for alt-
    azimuth mounts."""

    key: SetupKey
    observer: str
    tube: str
    polar_altitude_arcmin: float
    polar_azimuth_arcmin: float
    home_first_arcmin: float
    home_second_arcmin: float
    cone_arcmin: float
    squareness_arcmin: float
    sag_arcmin: float
    scatter_arcmin: float
    slip: str | None = None
    sidereal_error_hours: float = 0.0


@dataclass(frozen=True, slots=True)
class ArrivalTruth:
    """One arrival, by row from 0: its offset before reading and slips (nan beyond 90 deg), what is wrong."""

    row: int
    key: SetupKey
    utc: datetime
    offset_east_arcmin: float
    offset_north_arcmin: float
    after_sync: bool
    after_model: bool
    wrong: str | None = None


@dataclass(frozen=True, slots=True)
class Truth:
    first_day: date
    setups: list[SetupTruth] = field(default_factory=list)
    arrivals: list[ArrivalTruth] = field(default_factory=list)


def era_on(mount: str, day: int) -> Era:
    """The mechanics in force on a day of the two years; the Silver Heron changes tube for two months."""
    if mount == "Silver Heron" and 300 <= day < 360:
        return HERON_OTHER_TUBE[0]
    eras = next(truth.eras for truth in MOUNT_TRUTHS if truth.name == mount)
    return max((era for era in eras if era.since_day <= day), key=lambda era: era.since_day)


def scatter_on(era: Era, day: int) -> float:
    return float(era.scatter_arcmin * era.yearly_growth ** (day / 365.25))
