"""Invented clubs with habits of their own: first stars put where a mistake puts them, by the ERFA library.

What each mistake does is written here anew, from sidereal time and turns of the sphere, so that naming it again says
something. Every landing has besides the ordinary scatter of a first star.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import erfa
import numpy as np
from numpy.random import Generator

from obslog.club.aligning.club_record import sure_cause
from obslog.club.aligning.first_star_mistakes import ClubRecord, FirstMiss, causes_of_miss
from obslog.club.aligning.past_mistakes import NOTHING_BEFORE, Mistake, PastMistakes
from obslog.club.register.observing_site import ObservingSite
from obslog.pointing.mistakes.posterior import FIRST_STAR_FAR_ARCMIN
from obslog.values import Place
from obslog.vocabulary.mistakes import Cause

LAT_DEG, LON_DEG = 50.9, 8.4
SITE = ObservingSite("Hill", Place(LAT_DEG, LON_DEG), ZoneInfo("Europe/Berlin"))
OTHER_LON_DEG = 13.2
SITES = ("Lake", 52.4, OTHER_LON_DEG), ("Hill", LAT_DEG, LON_DEG)
SCATTER_DEG, LEAST_ALT_DEG = 1.0, 20.0
NAMED_FROM = 0.5
PAST_SETUPS, MISTAKE_RATE = 150, 0.12
LATER = datetime(2026, 8, 1, 21, tzinfo=UTC)
# ICRS places of bright stars in degrees, two decimals
STARS = {
    "Vega": (279.23, 38.78), "Arcturus": (213.92, 19.18), "Altair": (297.70, 8.87), "Deneb": (310.36, 45.28),
    "Capella": (79.17, 46.00), "Castor": (113.65, 31.89), "Pollux": (116.33, 28.03), "Regulus": (152.09, 11.97),
    "Aldebaran": (68.98, 16.51), "Procyon": (114.83, 5.22), "Spica": (201.30, -11.16), "Rigel": (78.63, -8.20),
}  # fmt: skip


@dataclass(frozen=True)
class Miss:
    """A first star, the night, where the mount pointed, and why."""

    cause: Cause
    at_utc: datetime
    first: FirstMiss
    away_deg: float


@dataclass
class Naming:
    """How first stars far off were named: rightly, wrongly, or not; and what chance the true cause was given."""

    right: int = 0
    wrong: int = 0
    silent: int = 0
    chances: list[float] = field(default_factory=list)

    def add(self, other: "Naming") -> None:
        self.right += other.right
        self.wrong += other.wrong
        self.silent += other.silent
        self.chances += other.chances

    @property
    def all(self) -> int:
        return self.right + self.wrong + self.silent

    def note(self, truth: Cause, named: dict[Cause, float]) -> None:
        likeliest = max(named, key=lambda cause: named[cause])
        self.chances.append(named[truth])
        if named[likeliest] < NAMED_FROM or likeliest in (Cause.ORDINARY, Cause.SOMETHING_ELSE):
            self.silent += 1
        elif likeliest is truth:
            self.right += 1
        else:
            self.wrong += 1


def sidereal_deg(at_utc: datetime, lon_deg: float) -> float:
    first, second = erfa.dtf2d("UTC", *at_utc.timetuple()[:6])
    return float(np.degrees(erfa.gmst06(first, second, first, second))) + lon_deg


def at_place(star: str, at_utc: datetime, lon_deg: float = LON_DEG) -> tuple[float, float]:
    """Azimuth and altitude, degrees, where a controller thinks that a star is (IAU 2006 precession, no nutation)."""
    first, second = erfa.dtf2d("UTC", *at_utc.timetuple()[:6])
    ra, dec = erfa.c2s(erfa.pmat06(first, second) @ erfa.s2c(*np.radians(STARS[star])))
    azimuth, altitude = erfa.hd2ae(np.radians(sidereal_deg(at_utc, lon_deg)) - ra, dec, np.radians(LAT_DEG))
    return float(np.degrees(azimuth)), float(np.degrees(altitude))


Landed = tuple[float, float]


def _later(hours: Callable[[Generator], float]) -> Callable[[Generator, str, datetime], Landed]:
    return lambda rng, star, at_utc: at_place(star, at_utc + timedelta(hours=hours(rng)))


def _with_longitude(lon_deg: float) -> Callable[[Generator, str, datetime], Landed]:
    return lambda _, star, at_utc: at_place(star, at_utc, lon_deg)


def _declination_off(rng: Generator, star: str, at_utc: datetime) -> Landed:
    """The declination axis counts the other way with the tube west of the pier, where the star is in the east."""
    azimuth, altitude = np.radians(at_place(star, at_utc))
    hour_angle, dec = erfa.ae2hd(azimuth, altitude, np.radians(LAT_DEG))
    off = np.radians(rng.choice([-1, 1]) * rng.exponential(6.0)) * (-1 if np.sin(hour_angle) < 0 else 1)
    turned = erfa.hd2ae(hour_angle, dec + off, np.radians(LAT_DEG))
    return float(np.degrees(turned[0])), float(np.degrees(turned[1]))


def _axis_off(rng: Generator, star: str, at_utc: datetime) -> Landed:
    """The head turned in azimuth alone."""
    azimuth, altitude = at_place(star, at_utc)
    return azimuth + rng.choice([-1, 1]) * rng.exponential(10.0), altitude


def _another(rng: Generator, star: str, at_utc: datetime) -> Landed:
    others = [name for name in STARS if name != star and at_place(name, at_utc)[1] > LEAST_ALT_DEG]
    return at_place(str(rng.choice(others)), at_utc)


def _swapped(_: Generator, star: str, at_utc: datetime) -> Landed:
    return at_place(star, at_utc.replace(month=at_utc.day, day=at_utc.month))


HABITS: dict[Cause, Callable[[Generator, str, datetime], Landed]] = {
    Cause.SUMMER_TIME: _later(lambda rng: float(rng.choice([-1, 1]))),
    Cause.CLOCK: _later(lambda rng: float(rng.choice([-1, 1]) * (0.2 + rng.exponential(1 / 3)))),
    Cause.TIME_ZONE: _later(lambda rng: float(rng.choice([-1, 1]) * rng.integers(2, 9))),
    Cause.MORNING_FOR_EVENING: _later(lambda _: 12.0),
    Cause.DAY_AND_MONTH_SWAPPED: _swapped,
    Cause.LONGITUDE_SIGN: _with_longitude(-LON_DEG),
    Cause.ANOTHER_SITES_LONGITUDE: _with_longitude(OTHER_LON_DEG),
    Cause.DECLINATION_ZERO: _declination_off,
    Cause.POLAR_AXIS: _axis_off,
    Cause.SENT_TO_ANOTHER_STAR: _another,
    Cause.ORDINARY: lambda _, star, at_utc: at_place(star, at_utc),
}
JUDGED = {
    Cause.SUMMER_TIME: 18, Cause.CLOCK: 10, Cause.TIME_ZONE: 8, Cause.MORNING_FOR_EVENING: 3,
    Cause.DAY_AND_MONTH_SWAPPED: 5, Cause.LONGITUDE_SIGN: 7, Cause.ANOTHER_SITES_LONGITUDE: 5,
    Cause.DECLINATION_ZERO: 8, Cause.POLAR_AXIS: 8, Cause.SENT_TO_ANOTHER_STAR: 4,
}  # fmt: skip


def habits(rng: Generator, *, own: bool) -> dict[Cause, float]:
    """How often which mistake: as is judged of all clubs, or of its own, where two or three make up most."""
    weights = np.array(list(JUDGED.values()), float) / sum(JUDGED.values())
    shares = rng.dirichlet(2.5 * weights) if own else weights
    return dict(zip(JUDGED, shares.tolist(), strict=True))


def misses(rng: Generator, share: dict[Cause, float], count: int, since: date) -> Iterator[Miss]:
    """First stars spoilt by a mistake, one a night; those so far off that anybody asks why."""
    causes = list(share)
    for place in range(count):
        cause = causes[int(rng.choice(len(causes), p=list(share.values())))]
        day = since + timedelta(days=place)
        if cause is Cause.DAY_AND_MONTH_SWAPPED:
            day = day.replace(day=int(rng.choice([d for d in range(1, 12) if d != day.month])))
        miss = missed(rng, cause, datetime(day.year, day.month, day.day, 21, 30, tzinfo=UTC))
        if miss.away_deg * 60 > FIRST_STAR_FAR_ARCMIN:
            yield miss


def missed(rng: Generator, cause: Cause, at_utc: datetime) -> Miss:
    """A first star under that mistake, with the ordinary scatter."""
    up = [name for name in STARS if at_place(name, at_utc)[1] > LEAST_ALT_DEG]
    star = str(rng.choice(up))
    azimuth, altitude = HABITS[cause](rng, star, at_utc)
    altitude = float(np.clip(altitude + rng.normal(0, SCATTER_DEG), -89.0, 89.0))
    azimuth = (azimuth + rng.normal(0, SCATTER_DEG) / np.cos(np.radians(altitude))) % 360.0
    right = np.radians(at_place(star, at_utc))
    away = np.degrees(erfa.seps(*right, *np.radians([azimuth, altitude])))
    return Miss(
        cause,
        at_utc,
        FirstMiss(star=star, landed_alt_deg=altitude, landed_az_deg=float(azimuth)),
        float(away),
    )


def named(miss: Miss, past: PastMistakes) -> dict[Cause, float]:
    causes = causes_of_miss(ClubRecord(SITES, past), SITE, miss.at_utc, [miss.first])
    return {one.cause: one.probability for one in causes}


def learnt(rng: Generator, share: dict[Cause, float]) -> PastMistakes:
    """What two years of such a club leave on record: the mistakes that first stars surely showed."""
    begin = date(2024, 6, 1)
    count = int(rng.binomial(PAST_SETUPS, MISTAKE_RATE))
    found = []
    for miss in misses(rng, share, count, begin):
        causes = causes_of_miss(ClubRecord(SITES), SITE, miss.at_utc, [miss.first])
        if (cause := sure_cause(causes)) is not None:
            found.append(Mistake(miss.at_utc.date(), cause))
    return PastMistakes(tuple(found), {begin: PAST_SETUPS})


def naming(seed: int, *, own: bool, count: int) -> tuple[Naming, Naming]:
    """Of a club's later misses, how they are named by common practice alone, and by its past as well."""
    rng = np.random.default_rng(seed)
    share = habits(rng, own=own)
    past = learnt(rng, share)
    plain, moved = Naming(), Naming()
    for miss in misses(rng, share, count, LATER.date()):
        plain.note(miss.cause, named(miss, NOTHING_BEFORE))
        moved.note(miss.cause, named(miss, past))
    return plain, moved


def false_names(seed: int, setups: int) -> tuple[int, int]:
    """How many of so many set-ups without a mistake are named one, by common practice and by the past as well."""
    rng = np.random.default_rng(seed)
    past = learnt(rng, habits(rng, own=True))
    plain, moved = Naming(), Naming()
    for miss in misses(rng, {Cause.ORDINARY: 1.0}, setups, LATER.date()):
        plain.note(miss.cause, named(miss, NOTHING_BEFORE))
        moved.note(miss.cause, named(miss, past))
    return plain.wrong, moved.wrong


def naming_of(seeds: range, *, own: bool, count: int) -> tuple[Naming, Naming]:
    """The same of several clubs together."""
    plain, moved = Naming(), Naming()
    for seed in seeds:
        for whole, one in zip((plain, moved), naming(seed, own=own, count=count), strict=True):
            whole.add(one)
    return plain, moved
