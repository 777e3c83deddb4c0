"""What a mount's set-ups in order say to scripts: landings, polar axes and mechanical terms, and their trends."""

from collections.abc import Sequence
from datetime import date
from typing import NotRequired, TypedDict

from obslog.cli.answers.merged import Merged
from obslog.cli.answers.pointing_answers import Bounded, Term
from obslog.club.over_time.own_trends import AlarmNight
from obslog.trends.series.theil_sen import Verdict


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
    """A mechanical service, the factor of the landing error over it, as used, and the chance that it fell.

    Of services without a set-up between them the last has what all of them did.
    """

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
    """What a service, or a change that is not on record, did to a term."""

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


TREND = Merged("TrendWithMechanics", TrendAnswer, WithMechanics)
