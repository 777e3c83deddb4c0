"""What the library gives of nights: records whose fields are called as in `--json` and in the sheets.

Times are UTC. What is not known is None.
"""

from dataclasses import dataclass
from datetime import date, datetime

from obslog.library.table import Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Night:
    """A night as `night list` has it."""

    night: date
    site: str
    open: bool
    setups: int
    arrivals: int
    present: list[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mount:
    """A mount as `mount list` has it."""

    name: str
    mount_type: str
    controller: str
    refraction: bool
    note: str | None
    retired_on: date | None
    retired_why: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrival:
    """A row of the arrivals sheet."""

    night: date
    setup: int
    site: str
    observer: str | None
    mount: str
    tube: str | None
    utc: datetime
    role: str
    target: str
    ra_hours: float | None
    dec_deg: float | None
    pier_side: str | None
    offset_east_arcmin: float | None
    offset_north_arcmin: float | None
    landing: str | None
    field_arcmin: float | None
    centring_arcmin: float | None
    note: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """A row of the sheet of observations; of each scale of the sky what was in force then."""

    night: date
    utc: datetime
    site: str
    target: str
    observer: str | None
    sighting: str
    description: str | None
    mount: str | None
    setup: int | None
    tube: str | None
    eyepiece: str | None
    magnification: float | None
    filter: str | None
    vision: str | None
    found_by: str | None
    rating: int | None
    sketch: str | None
    antoniadi: float | None
    pickering: float | None
    seeing_0_10: float | None
    transparency_1_7: float | None
    naked_eye_limit: float | None
    sky_meter: float | None
    bortle: float | None
    cloud_eighths: float | None
    temperature_c: float | None
    humidity_percent: float | None
    wind_beaufort: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Snag:
    """What went wrong, as `snag list` has it: `about` is the mount, `day` is by the clocks of the site."""

    reference: str
    at_utc: datetime
    day: date
    step: str
    text: str
    about: str | None
    member: str | None
    site: str | None
    fixed_utc: datetime | None
    remedy: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SkyReading:
    """What the sky was like, on its scale; without a time where it is not known when in the night that was."""

    scale: str
    value: float
    at_utc: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """A set-up in the list of its night."""

    mount: str
    setup: int
    tube: str | None
    observer: str | None
    arrivals: int
    open: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WholeNight:
    """A night with all that was recorded in it, as `night show` has it, its times in UTC."""

    night: date
    site: str
    open: bool
    started_utc: datetime | None
    ended_utc: datetime | None
    present: list[str]
    sky: Table[SkyReading]
    setups: Table[Setup]
    arrivals: Table[Arrival]
    observations: Table[Observation]
    snags: Table[Snag]
    note: str | None
