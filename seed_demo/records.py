"""What the club wrote down, as plain records, and the truth beside it."""

from dataclasses import dataclass
from datetime import date, datetime

from .truth import SetupKey, Truth

SHEET_COLUMNS = (
    "night", "setup", "site", "observer", "mount", "tube", "utc", "role", "target", "ra_hours", "dec_deg",
    "pier_side", "offset_east_arcmin", "offset_north_arcmin", "landing", "field_arcmin",
    "centring_arcmin", "note",
)  # fmt: skip
SheetRow = dict[str, str]


@dataclass(frozen=True, slots=True)
class NightRecord:
    night: date
    site: str
    start_utc: datetime
    end_utc: datetime
    present: tuple[str, ...]
    note: str


@dataclass(frozen=True, slots=True)
class SetupRecord:
    key: SetupKey
    observer: str
    tube: str
    eyepiece: str
    start_utc: datetime
    note: str


@dataclass(frozen=True, slots=True)
class SnagRecord:
    """`step` is a word of the checklist; `remedy` is empty where none was found."""

    key: SetupKey
    member: str
    utc: datetime
    step: str
    text: str
    remedy: str


@dataclass(frozen=True, slots=True)
class ServiceRecord:
    """`mechanical` restarts the mount's mechanical history."""

    mount: str
    day: date
    by: str
    mechanical: bool
    text: str


@dataclass(frozen=True, slots=True)
class ObservationRecord:
    key: SetupKey
    observer: str
    utc: datetime
    target: str
    kind: str
    eyepiece: str
    sighting: str
    method: str
    description: str


@dataclass(frozen=True, slots=True)
class ConditionRecord:
    night: date
    site: str
    utc: datetime
    scale: str
    value: float


@dataclass(frozen=True, slots=True)
class DemoClub:
    """Two years of one club: `arrivals` are rows of the arrivals sheet, as text; `truth` what was."""

    nights: list[NightRecord]
    setups: list[SetupRecord]
    arrivals: list[SheetRow]
    snags: list[SnagRecord]
    services: list[ServiceRecord]
    observations: list[ObservationRecord]
    conditions: list[ConditionRecord]
    truth: Truth
