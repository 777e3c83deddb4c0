"""Small frozen records that cross rooms. They hold; they do not compute."""

from dataclasses import dataclass


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
    """A value with the ends of its 95 % interval; an end that the data do not bound is None."""

    value: float
    low: float | None
    high: float | None
