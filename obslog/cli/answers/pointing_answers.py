"""What fits, trends, comparisons, budgets and reviews say to scripts."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Literal, NotRequired, TypedDict

from obslog.cli.answers.merged import Merged
from obslog.club.landing.before_and_after import Difference
from obslog.club.over_time.own_trends import AlarmNight
from obslog.club.performance.mount_fit import Residual
from obslog.club.review.verdicts import Status
from obslog.pointing.budget.causes import BudgetCause
from obslog.pointing.misfit.findings import Finding
from obslog.trends.series.theil_sen import Verdict
from obslog.values import SetupId

Term = Literal["cone", "squareness", "sag"]
Source = Literal["mount", "observer", "site", "rest"]


class Bounded(TypedDict):
    """A value with the ends of its 95 percent interval; an end that the data do not bound is null."""

    value: float | None
    low: float | None
    high: float | None


class Estimated(TypedDict):
    """A value with its standard deviation, and whether the data determine it at all."""

    value_arcmin: float
    sd_arcmin: float
    determined: bool


class MechanicalTerm(TypedDict):
    """Cone error, squareness or sag, in the mechanical era that began on `since`."""

    since: date
    term: Term
    value_arcmin: float
    sd_arcmin: float
    determined: bool


class FittedSetup(TypedDict):
    """What belonged to one set-up; suspects are lines of the sheet, or keys of arrivals."""

    night: date
    setup: int
    site: str
    polar_altitude: Estimated
    polar_azimuth: Estimated
    separation_arcmin: float
    arrivals: int
    rms_arcmin: float | None
    suspects: list[int | str]


class FitAnswer(TypedDict):
    """All nights of a mount and tube fitted together."""

    mount: str
    tube: str | None
    noise_arcmin: float
    mechanical: list[MechanicalTerm]
    setups: list[FittedSetup]
    findings: list[Finding]
    sentence: str
    words: list[str]
    left_out: dict[str, int]


class YearlySlope(TypedDict):
    """The slope of a natural logarithm in a year, with its 95 percent interval, and the p-value of no trend."""

    per_year: float
    low: float | None
    high: float | None
    p: float


class LandedSetup(TypedDict):
    """How a set-up landed: half of its arrivals after the last sync within that radius."""

    night: date
    setup: int
    site: str
    arrivals: int
    told_in_words: int
    half_land_within_arcmin: float | None
    low_arcmin: float | None
    high_arcmin: float | None
    rms_arcmin: float | None
    median_arcmin: float | None


class AsUsed(TypedDict):
    """What the mount's users saw of it."""

    slope: YearlySlope | None
    verdict: Verdict


class ServiceEffect(TypedDict):
    """A mechanical service, the factor of the landing error over it, and the chance that it helped."""

    day: date
    factor: Bounded | None
    helped: float | None


class ChangeFound(TypedDict):
    """A change that nobody wrote down."""

    since: date
    last_before: date
    term: Term
    size_arcmin: float
    sd_arcmin: float
    factor: Bounded | None


class SeparationOfSetup(TypedDict):
    """How far the axis of a set-up was from the pole."""

    night: date
    setup: int
    site: str
    separation_arcmin: float
    sd_arcmin: float
    determined: bool


class PolarTrend(TypedDict):
    """The polar axes of the set-ups in order, and whether they stray more."""

    tube: str | None
    setups: list[SeparationOfSetup]
    slope: YearlySlope | None
    verdict: Verdict
    reasons: list[str]


class MechanicalChange(TypedDict):
    """What a service did to a term."""

    since: date
    term: Term
    before_arcmin: float
    after_arcmin: float
    change_arcmin: float
    sd_arcmin: float
    determined: bool


class TrendAnswer(TypedDict):
    """A mount's set-ups in order, its trend and the verdict on it."""

    mount: str
    setups: list[LandedSetup]
    slope: YearlySlope | None
    alarms: list[date]
    alarm_details: list[AlarmNight]
    verdict: Verdict
    words: str
    as_used: AsUsed
    adjusted_for: Sequence[str]
    reasons: list[str]
    services: list[ServiceEffect]
    changes: list[ChangeFound]


class Mechanics(TypedDict):
    """What --mechanics adds."""

    polar_trend: PolarTrend
    mechanical_changes: list[MechanicalChange]


class WithMechanics(TypedDict):
    """What --mechanics adds to the trend."""

    polar_trend: NotRequired[PolarTrend]
    mechanical_changes: NotRequired[list[MechanicalChange]]


class Beside(TypedDict):
    """The landing error divided by that of the first mount; null for that one itself."""

    ratio: Bounded | None


class SideLanded(TypedDict):
    """How one side of a comparison landed."""

    side: str
    setups: int
    half_land_within_arcmin: float | None
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
    """What one mount, observer or site does to the landing error: a factor beside the club's average."""

    kind: Literal["mount", "observer", "site"]
    name: str
    ratio: float
    low: float | None
    high: float | None
    worse: float
    setups: int


class SourcesAnswer(TypedDict):
    """How much of the landing errors is whose."""

    setups: int
    attribution: Mapping[Source, ShareDetermined]
    effects: list[SourceEffect]
    cannot_tell: list[str]
    sentence: str


class CauseOfBudget(TypedDict):
    """What a cause adds, what is gained without it, and what removes it."""

    cause: BudgetCause
    adds_arcmin: float
    low: float | None
    high: float | None
    share: float
    half_without_arcmin: float
    half_without_low: float | None
    half_without_high: float | None
    remedy: str


class BudgetAnswer(TypedDict):
    """The error budget of a mount."""

    mount: str
    tube: str | None
    since: date
    setups: int
    go_tos: int
    half_land_within_arcmin: Bounded
    rms_arcmin: float
    causes: list[CauseOfBudget]
    words: list[str]


class ReviewEffect(TypedDict):
    """The landing error beside the club's average, from so many set-ups."""

    ratio: float
    low: float | None
    high: float | None
    setups: int


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


class AxisBesidePole(TypedDict):
    """The axis of one set-up beside the pole, arcminutes of the sky."""

    setup: SetupId
    observer: str | None
    up: Estimated
    east: Estimated
    separation: Estimated
    facing_south: bool


class PointingOfPage(TypedDict):
    """What is computed of a mount's pointing; null where nothing can be."""

    fit: FitAnswer | None
    residuals: list[Residual]
    axes: list[AxisBesidePole]
    mechanics: Mechanics | None
    budget: BudgetAnswer | None


TREND = Merged("TrendWithMechanics", TrendAnswer, WithMechanics)
BESIDE = Merged("TrendBeside", TrendAnswer, Beside)
