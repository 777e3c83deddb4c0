"""What a review is made of: the evidence on a thing, reasons with their weight, and the status they speak for."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from obslog.club.performance.mount_levels import with_tube_words
from obslog.club.review.exchanged import Exchanged
from obslog.english import counted
from obslog.trends.series.growth import Grown
from obslog.values import Estimate, Interval
from obslog.vocabulary.mistakes import MisfitKind
from obslog.vocabulary.mounts import MountType
from obslog.vocabulary.steps import PEOPLE_DO, StepKey


class Status(StrEnum):
    READY = "ready"
    WATCH = "watch"
    SERVICE = "service"
    OUT = "out"
    RETIRED = "retired"


class Wanting(StrEnum):
    """What a mount wants before it is judged: more set-ups, to know who made them, or somebody else's."""

    SETUPS = "set-ups"
    NAMES = "names"
    OTHERS = "others"


GRAVITY = {status: place for place, status in enumerate(Status)}


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a thing is judged so: what it speaks for, how much it weighs, in words, and the numbers behind it."""

    status: Status
    weight: float
    words: str
    numbers: Mapping[str, object]


def gravest_words(reasons: Sequence[Reason]) -> str:
    """The first of the reasons, of which there is one at least, and how many more there are."""
    more = len(reasons) - 1
    return reasons[0].words + (f"; and for {counted(more, 'more reason')}" if more else "")


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnErrors:
    """What the joint fit finds in the mount itself, and how far from the pole its set-ups stood in the median.

    That, or how far the base of an altaz leaned, is of the `setups` whose arrivals tell it; None where none do. All is
    of set-ups with `tube`, which is told where it was `one_of_several`.
    """

    scatter_arcmin: Estimate
    cone_arcmin: Estimate
    squareness_arcmin: Estimate
    sag_arcmin: Estimate
    polar_axis_off_arcmin: float | None
    setups: int
    mount_type: MountType
    tube: str | None = None
    one_of_several: bool = False

    @property
    def with_tube(self) -> str:
        """With which tube that is, where there were several: ` with Long tube`."""
        return with_tube_words(self.tube) if self.one_of_several else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LandedWith:
    """How a mount landed with one of several tubes, and what the fit finds with it; None where nothing tells.

    `with_tube` is that tube in a sentence, ` with Long tube`; nothing of a mount that had one.
    """

    tube: str | None
    with_tube: str
    observers: int
    effect: Interval | None
    raw_ratio: float | None
    own: OwnErrors | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MisfitInWords:
    """What the model of the mount leaves out, in words; `since` the night from which on a change is seen."""

    kind: MisfitKind
    words: str
    size_arcmin: float | None
    since: date | None


@dataclass(frozen=True, slots=True)
class Growth:
    """The trend's verdict, its yearly factor, recent alarms, and since when set-ups count, in words.

    Of what was seen over less than half a year there is no yearly factor, but what it grew.
    """

    verdict: str
    factor: Interval | Grown | None
    alarm_nights: list[date]
    since: str = ""


@dataclass(frozen=True, slots=True)
class OpenSnags:
    """Snags at one step that are not mended, and among how many members they came up."""

    step: StepKey
    count: int
    members: int
    newest: date


@dataclass(frozen=True, slots=True, kw_only=True)
class MountEvidence:
    """What the records say of a mount since its last mechanical service; None where they say nothing.

    `setups`, on so many `nights`, are those with a landing.
    `effect` is its landing error beside the club's average, as a factor, with observers and sites taken out, and the
    number of set-ups from which that comes; `raw_ratio` the same before they are taken out; `own` what the fit finds.
    All three are with the tube that it has now, `tube`, `with_tube` in a sentence, where it had several;
    `tube_observers` are those who set it up with that one. `with_others` says the same of others that have set-ups
    enough.
    `unsigned` are set-ups of which it is not on record who made them, and who is no observer.
    `exchanged` are mounts that took its errors, as it took theirs. A mount without a controller `goes_to` nothing, and
    nothing is said of its pointing. `people_do` are steps that speak of people.
    """

    setups: int = 0
    nights: int = 0
    observers: int = 0
    unsigned: int = 0
    usual_site: str | None = None
    setups_last_year: int = 0
    serviced_on: date | None = None
    effect: Interval | None = None
    raw_ratio: float | None = None
    own: OwnErrors | None = None
    tube: str | None = None
    with_tube: str = ""
    tube_observers: int | None = None
    with_others: Sequence[LandedWith] = ()
    exchanged: Sequence[Exchanged] = ()
    left_out: Sequence[MisfitInWords] = ()
    growth: Growth | None = None
    snags: Sequence[OpenSnags] = ()
    goes_to: bool = True
    people_do: Collection[StepKey] = frozenset(PEOPLE_DO)

    @property
    def landed(self) -> list[LandedWith]:
        """With each of the tubes that is looked at, the one that it has now first."""
        observers = self.observers if self.tube_observers is None else self.tube_observers
        now = LandedWith(
            tube=self.tube,
            with_tube=self.with_tube,
            observers=observers,
            effect=self.effect,
            raw_ratio=self.raw_ratio,
            own=self.own,
        )
        return [now, *self.with_others]


@dataclass(frozen=True, slots=True)
class Damage:
    """That an item was damaged when it was last looked at, in the club's word; and whether it came back or went out."""

    on: date
    word: str
    came_back: bool
    note: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class StoreroomEvidence:
    """What the store-room's papers say of any thing; `missing` of a kit are its parts, of a thing itself is ''.

    `astray` says of a kit, in words, which of its parts are retired, written off, or on loan without it.
    """

    retired_on: date | None = None
    retired_why: str | None = None
    holder: str | None = None
    due_on: date | None = None
    missing: dict[str, date | None] = field(default_factory=dict)
    astray: list[str] = field(default_factory=list)
    service_due: list[str] = field(default_factory=list)
    idle_days: int | None = None
    battery_percent: float | None = None
    damage: Damage | None = None


def status_of(reasons: Sequence[Reason]) -> Status:
    """The gravest that any reason speaks for; ready where none does."""
    return max((reason.status for reason in reasons), key=GRAVITY.__getitem__, default=Status.READY)


def ranked(reasons: Sequence[Reason]) -> list[Reason]:
    """The gravest first, and within each the weightiest."""
    return sorted(reasons, key=lambda reason: (-GRAVITY[reason.status], -reason.weight))
