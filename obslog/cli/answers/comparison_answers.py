"""What comparisons say to scripts: mounts beside one another, one on two sides, whose errors are whose, the review."""

from collections.abc import Mapping
from typing import Literal, TypedDict

from obslog.cli.answers.merged import Merged
from obslog.cli.answers.pointing_answers import Bounded
from obslog.cli.answers.trend_answers import TrendAnswer
from obslog.club.landing.before_and_after import Difference
from obslog.club.review.verdicts import Status

Source = Literal["mount", "observer", "site", "rest"]


class Beside(TypedDict):
    """The landing error divided by that of the first mount; null for that one itself."""

    ratio: Bounded | None


class SideLanded(TypedDict):
    """How one side of a comparison landed."""

    side: str
    setups: int
    half_land_within_arcmin: float
    low_arcmin: float | None
    high_arcmin: float | None


class SidesAnswer(TypedDict):
    """One mount on two sides."""

    mount: str
    sides: list[SideLanded]
    ratio: Bounded
    ratio_as_seen: float
    decided: bool
    more_nights: int | None
    differs: list[Difference]
    words: list[str]


class Share(TypedDict):
    """A share of the variance, and its standard deviation; unknown where the data do not tell."""

    share: float
    sd: float


class ShareDetermined(TypedDict):
    """A share of the variance, its standard deviation, and whether the data determine it."""

    share: float
    sd: float
    determined: bool


class SourceEffect(TypedDict):
    """What one mount, observer or site does to the landing error: a factor beside the club's average.

    A mount that had several tubes is told with each of them, which stands in its name too.
    """

    kind: Literal["mount", "observer", "site"]
    name: str
    tube: str | None
    ratio: float
    low: float
    high: float
    worse: float
    setups: int


class SourcesAnswer(TypedDict):
    """How much of the landing errors is whose."""

    setups: int
    attribution: Mapping[Source, ShareDetermined]
    effects: list[SourceEffect]
    cannot_tell: list[str]
    sentence: str


class ReviewEffect(TypedDict):
    """The landing error beside the club's average, from so many set-ups; where it had several tubes, with that one."""

    ratio: float
    low: float
    high: float
    setups: int
    tube: str | None


class ReviewedItem(TypedDict):
    """An item, its status, and why."""

    name: str
    kind: Literal["mount", "tube", "eyepiece", "item", "kit"]
    status: Status
    reasons: list[str]
    effect: ReviewEffect | None


class ReviewAnswer(TypedDict):
    """How much of the landing errors is whose, and all items."""

    attribution: Mapping[Source, Share]
    items: list[ReviewedItem]


BESIDE = Merged("TrendBeside", TrendAnswer, Beside)
