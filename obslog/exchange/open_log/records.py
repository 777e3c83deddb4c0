"""What a log of observations holds, in the standard's own terms: written from these records, and read into them.

Angles are in degrees, lengths in millimetres. An instant has its zone; one that was read without is by the clocks of
its site. `other` are lines of what a file told beside what these fields hold; `line` is where a record stands in it.
"""

from dataclasses import dataclass, field
from datetime import datetime

NAMESPACE = "http://groups.google.com/group/openastronomylog"
VERSION = "2.1"


@dataclass(frozen=True, slots=True, kw_only=True)
class LogObserver:
    id: str
    name: str
    surname: str = ""
    other: tuple[str, ...] = ()
    had_contacts: bool = False

    @property
    def full_name(self) -> str:
        return " ".join(f"{self.name} {self.surname}".split())


@dataclass(frozen=True, slots=True, kw_only=True)
class LogSite:
    """Longitude east positive; `timezone_minutes` is what the clocks are ahead of UT without summer time."""

    id: str
    name: str
    lon_deg: float | None = None
    lat_deg: float | None = None
    elevation_m: float | None = None
    timezone_minutes: int | None = None
    other: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LogSession:
    id: str
    begin: datetime
    end: datetime
    site: str | None
    co_observers: tuple[str, ...] = ()
    weather: str | None = None
    equipment: str | None = None
    comments: str | None = None
    other: tuple[str, ...] = ()
    line: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class LogTarget:
    """`kind` is the standard's type, such as deepSkyGX; None for the one of which nothing more is told.

    Either a `datasource` or the `observer` who found it is named. `details` are elements of the type itself, in the
    standard's order, each with its text and the attribute `unit` where it has one. The place is of J2000. `components`
    are the ids of the stars of which a multiple one consists.
    """

    id: str
    name: str
    kind: str | None = None
    datasource: str | None = None
    observer: str | None = None
    aliases: tuple[str, ...] = ()
    ra_deg: float | None = None
    dec_deg: float | None = None
    constellation: str | None = None
    notes: str | None = None
    details: tuple[tuple[str, str, str | None], ...] = ()
    components: tuple[str, ...] = ()
    other: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LogScope:
    """A tube with its focal length, or binoculars and the like with their magnification."""

    id: str
    model: str
    kind: str | None = None
    vendor: str | None = None
    aperture_mm: float | None = None
    focal_mm: float | None = None
    magnification: float | None = None
    other: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LogEyepiece:
    """With `longest_mm` it is a zoom, of which `focal_mm` is the shortest focal length."""

    id: str
    model: str
    vendor: str | None = None
    focal_mm: float | None = None
    longest_mm: float | None = None
    field_deg: float | None = None
    other: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LogFilter:
    id: str
    model: str
    kind: str = "other"
    other: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LogLens:
    """A Barlow lens or a reducer: by what it makes the magnification larger or smaller."""

    id: str
    model: str
    factor: float | None = None
    other: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LogResult:
    """What was found, in words; `rating` is the standard's own, 1 to 7, and None where it is not known."""

    description: str
    language: str | None = None
    rating: int | None = None
    other: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LogObservation:
    """`sky_quality` is in magnitudes per square arcsecond; `seeing` is Antoniadi's, 1 the best."""

    id: str | None
    observer: str | None
    target: str | None
    begin: datetime
    results: tuple[LogResult, ...]
    site: str | None = None
    session: str | None = None
    faintest_star: float | None = None
    sky_quality: float | None = None
    seeing: int | None = None
    scope: str | None = None
    eyepiece: str | None = None
    lens: str | None = None
    filter: str | None = None
    imager: str | None = None
    magnification: float | None = None
    images: tuple[str, ...] = ()
    other: tuple[str, ...] = ()
    line: int = 0


@dataclass(slots=True, kw_only=True)
class Log:
    """A whole log: what observations refer to, by their ids within it, and the observations."""

    observers: dict[str, LogObserver] = field(default_factory=dict)
    sites: dict[str, LogSite] = field(default_factory=dict)
    sessions: dict[str, LogSession] = field(default_factory=dict)
    targets: dict[str, LogTarget] = field(default_factory=dict)
    scopes: dict[str, LogScope] = field(default_factory=dict)
    eyepieces: dict[str, LogEyepiece] = field(default_factory=dict)
    lenses: dict[str, LogLens] = field(default_factory=dict)
    filters: dict[str, LogFilter] = field(default_factory=dict)
    imagers: dict[str, str] = field(default_factory=dict)
    observations: list[LogObservation] = field(default_factory=list)
