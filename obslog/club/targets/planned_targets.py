"""What is asked of a plan of an evening's targets, and what it says."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from obslog.club.performance.landing_chance import LandingChance
from obslog.club.sky.pair_seen import PairSeen
from obslog.club.targets.how_sure import Sure
from obslog.club.targets.means_to_see import JudgedIn, SkyOnRecord
from obslog.club.targets.target_filters import LeftOut
from obslog.english import enumerated
from obslog.errors import WrongInput
from obslog.sky.evening.dark_windows import Dark
from obslog.vocabulary.mounts import PierSide

NAMED_BESIDE = 2


class EyepieceWithoutTube(WrongInput):
    def __init__(self, eyepiece: str) -> None:
        super().__init__(
            f"The field of the eyepiece {eyepiece!r} is not known without a tube.",
            "Name the tube too: --tube NAME",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What is asked for: the equipment, a list or names (None: all objects), what to leave out, and how many.

    `wanderers`: whether Moon and planets are among them.
    """

    mount: str | None = None
    tube: str | None = None
    eyepiece: str | None = None
    listed: str | None = None
    names: Sequence[str] | None = None
    types: Sequence[str] = ()
    not_seen_by: str | None = None
    above_deg: float = 30.0
    most: int = 20
    minutes_each: float = 10.0
    wanderers: bool = False

    @property
    def is_of_a_list(self) -> bool:
        """Whether a list or names were given, and not all objects are meant."""
        return self.listed is not None or self.names is not None


@dataclass(frozen=True, slots=True)
class UpTime:
    """From when until when something is up."""

    from_utc: datetime
    until_utc: datetime


@dataclass(frozen=True, slots=True)
class MoonTonight:
    """The Moon in the hours of the plan: its phase, its lit part, and when it is up."""

    phase: str
    illuminated: float
    up: tuple[UpTime, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedTarget:
    """A target with the time for it. Altitude, azimuth and side are of that time; instants in UTC; None is unknown.

    `rank` is its place in the order of preference. `sure` says whether it will be seen and `why`, from `margin_mag`,
    the magnitudes above the threshold (None for the Moon too); `moonlight_mag` is by how much the Moon brightens the
    sky behind it. `beside` are neighbours in the same field. `fills_field` is its long axis over the field's diameter;
    `contrast_mag` its mean surface against the sky behind it, above zero where it is the brighter. `sun_deg` is the
    elongation of what wanders, None for other things. `pair` tells of a double star.
    """

    order: int
    name: str
    title: str
    type: str
    constellation: str
    magnitude: float | None
    band: str | None
    at_utc: datetime
    alt_deg: float
    az_deg: float
    pier_side: PierSide | None
    transit_utc: datetime
    from_utc: datetime
    until_utc: datetime
    best_utc: datetime
    best_alt_deg: float
    moon_deg: float
    moon_up: bool
    size_arcmin: tuple[float | None, float | None]
    fills_field: float | None
    surface_brightness: float | None
    contrast_mag: float | None
    sun_deg: float | None
    pair: PairSeen | None
    rank: int
    kind: str
    sure: Sure
    why: str
    margin_mag: float | None
    moonlight_mag: float
    beside: tuple[str, ...]

    @property
    def full_title(self) -> str:
        """The title, with what stands beside it in the field."""
        if not self.beside:
            return self.title
        named, more = list(self.beside[:NAMED_BESIDE]), len(self.beside) - NAMED_BESIDE
        if more > 0:
            named.append(f"{more} more")
        return f"{self.title} with {enumerated(named)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class TargetPlan:
    """The targets in order, and what the plan rests on.

    `sky_mag` is the sky overhead without the Moon that all was judged by: the site's own, else a usual one.
    """

    site: str
    night: date
    dark_from_utc: datetime
    dark_until_utc: datetime
    dark: Dark
    mount: str | None
    field_arcmin: float | None
    faintest_star_mag: float | None
    sky_meter: SkyOnRecord | None
    sky_mag: float
    moon: MoonTonight
    judged_in: JudgedIn
    chance_in_field: LandingChance | None
    targets: list[PlannedTarget]
    flips: int
    considered: int
    left_out: list[LeftOut]
