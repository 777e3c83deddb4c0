"""What fits and error budgets say to scripts, and how estimates stand in them."""

from datetime import date
from typing import Literal, TypedDict

from obslog.pointing.budget.causes import BudgetCause
from obslog.pointing.misfit.findings import Finding

Term = Literal["cone", "squareness", "sag"]


class Bounded(TypedDict):
    """A value with the ends of its 95 percent interval; an end that the data do not bound is null."""

    value: float
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


class CauseOfBudget(TypedDict):
    """What a cause adds, what is gained without it, and what removes it."""

    cause: BudgetCause
    adds_arcmin: float
    low: float
    high: float
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
