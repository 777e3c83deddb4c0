"""What the library gives of fits and trends: records whose fields are called as in `--json`.

Lengths of arc are in arcminutes, as the names say. What is not known is None, what is not determined is nan.
"""

from dataclasses import dataclass
from datetime import date

from obslog.library.table import Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A value, its standard deviation, and whether the arrivals determine it."""

    value_arcmin: float
    sd_arcmin: float
    determined: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MechanicalTerm:
    """Cone error, squareness or sag, in the mechanical era that began on `since`."""

    since: date
    term: str
    value_arcmin: float
    sd_arcmin: float
    determined: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FittedSetup:
    """What belonged to one set-up: the polar axis, + too high and + too far east, and what the fit leaves."""

    night: date
    setup: int
    site: str
    polar_altitude: Estimate
    polar_azimuth: Estimate
    separation_arcmin: float
    arrivals: int
    rms_arcmin: float | None
    suspects: list[int | str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that the model leaves out."""

    kind: str
    words: str
    size_arcmin: float | None
    sd_arcmin: float | None
    since: date | None
    bit_by_bit: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Residual:
    """What the fit leaves of one arrival, and where in the sky it was. Not in JSON."""

    az_deg: float
    alt_deg: float
    east_arcmin: float
    north_arcmin: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """The joint fit of a mount's nights as `pointing fit` has it, and what it leaves of each arrival."""

    mount: str
    tube: str | None
    noise_arcmin: float
    mechanical: Table[MechanicalTerm]
    setups: Table[FittedSetup]
    findings: Table[Finding]
    sentence: str
    words: list[str]
    left_out: dict[str, int]
    residuals: Table[Residual]


@dataclass(frozen=True, slots=True, kw_only=True)
class LandedSetup:
    """How well one set-up landed: half of its arrivals after the last sync lie within the first of the radii."""

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Slope:
    """Of the natural logarithm of the landing error, per year, with the ends of its 95 % interval."""

    per_year: float
    low: float | None
    high: float | None
    p: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Factor:
    """What the landing error was multiplied by, with the ends of its 95 % interval."""

    value: float
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AsUsed:
    """The slope and the verdict before anything was allowed for."""

    slope: Slope | None
    verdict: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Alarm:
    """A night on which the landing error left its limits."""

    night: date
    worse: bool
    likely_since: date | None
    one_in: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ServiceEffect:
    """A mechanical service, and what the landing error did at it."""

    day: date
    factor: Factor | None
    helped: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A change of the mount that nobody wrote down."""

    since: date
    last_before: date
    term: str
    size_arcmin: float
    sd_arcmin: float
    factor: Factor | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Trend:
    """A mount's landing errors over the months as `pointing trend` has them."""

    mount: str
    setups: Table[LandedSetup]
    slope: Slope | None
    alarms: list[date]
    alarm_details: Table[Alarm]
    verdict: str
    words: str
    as_used: AsUsed
    adjusted_for: list[str]
    reasons: list[str]
    services: list[ServiceEffect]
    changes: list[Change]
