"""Small frozen records that cross rooms. They hold; they do not compute."""

from dataclasses import dataclass
from datetime import date
from uuid import UUID


@dataclass(frozen=True, slots=True)
class Place:
    """Where on the Earth: latitude north positive, longitude east positive (WGS84)."""

    lat_deg: float
    lon_deg: float
    elevation_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value with its standard deviation, the number of observations behind it, and whether they determine it."""

    value: float
    sd: float
    count: int
    determined: bool


@dataclass(frozen=True, slots=True)
class Interval:
    """A value with the ends of its 95 % interval, and the number of observations behind it.

    An end that the data do not bound is None.
    """

    value: float
    low: float | None
    high: float | None
    count: int

    @property
    def is_open(self) -> bool:
        """Whether the data bound the value on neither side, so that it says nothing."""
        return self.low is None and self.high is None

    @property
    def determined(self) -> bool:
        """Whether the data bound the value on both sides."""
        return self.low is not None and self.high is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class SetupId:
    """A set-up: its key on record, and what people call it: the `setup`-th of a mount at a site on a night."""

    key: UUID
    night: date
    setup: int
    site: str
    mount: str
