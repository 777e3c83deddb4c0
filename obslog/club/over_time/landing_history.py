"""A mount's pointing history: how well each set-up landed, whether that changes over the months, and since when."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from uuid import UUID

import numpy as np

from obslog.club.over_time.own_trends import AlarmNight, ClubOwn, MountOwn, own_of_club
from obslog.club.over_time.restarts import Restarts, restarts_of
from obslog.club.over_time.trend_words import (
    alarm_words,
    change_words,
    own_reasons,
    verdict_words,
)
from obslog.club.performance.landing_errors import Landings
from obslog.club.performance.mount_fits import MountFits
from obslog.club.performance.snapshot import Snapshot, snapshot_of
from obslog.english import counted
from obslog.errors import ObslogError, quoted
from obslog.pointing.misfit.found_changes import FoundChange
from obslog.records.database import Database
from obslog.records.kept_results import Result
from obslog.trends.own.own_verdict import JointVerdict, verdicts_together
from obslog.trends.series.growth import DAYS_A_YEAR, Grown, grown
from obslog.trends.series.segments import restart_positions
from obslog.trends.series.service_changes import ServiceChange, service_changes
from obslog.trends.series.theil_sen import FEWEST_FOR_A_VERDICT, Slope, Verdict
from obslog.trends.series.trend import Trend, too_few_reason, trend_of
from obslog.values import Interval, SetupId

COURSE = "course"


class NoArrivals(ObslogError):
    def __init__(self, mount: str) -> None:
        super().__init__(
            f"There are no arrivals of {mount} on record.",
            f"Take in a sheet with obslog import arrivals FILE, or start a set-up: obslog setup start {quoted(mount)}",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class SetupHistory:
    """One set-up: its arrivals after the last sync, measured or told in a word. None where there were none.

    `half_arcmin` is the radius inside which half of them land, `observer` who set it up, where that is known.
    """

    setup: SetupId
    arrivals: int
    told_in_words: int
    half_arcmin: Interval | None
    rms_arcmin: float | None
    median_arcmin: float | None
    observer: str | None = None


@dataclass(frozen=True, slots=True)
class Serviced:
    """A mechanical service, and what the landing error did from before to after: a factor with its interval.

    Of services without a set-up between them the last has what all of them did; `with_earlier` are the others.
    """

    day: date
    factor: Interval | None
    helped: float | None
    with_earlier: Sequence[date] = ()


@dataclass(frozen=True, slots=True)
class Changed:
    """A change that nobody wrote down and that made the mount another, and the landing error's factor at it."""

    change: FoundChange
    factor: Interval | None


@dataclass(frozen=True, slots=True)
class AsUsed:
    """What the mount's users saw of it: the plain slope of its landing errors, and the verdict on that alone."""

    slope: Slope | None
    verdict: Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class MountHistory:
    """A mount's set-ups in order, the slope of its own part of the log landing error, the verdict and its reasons.

    `words` say the verdict in a sentence, `adjusted_for` what was allowed for; `days` is how long the slope was seen,
    from the first to the last of its set-ups. `since` says, in words, since when its
    set-ups count; nothing where all do.
    """

    mount: str
    setups: list[SetupHistory]
    slope: Slope | None
    days: int
    verdict: Verdict
    words: str
    as_used: AsUsed
    adjusted_for: Sequence[str]
    reasons: list[str]
    alarms: list[AlarmNight]
    services: list[Serviced]
    changes: Sequence[Changed] = ()
    since: str = ""

    @property
    def grown(self) -> Grown | None:
        """What the slope comes to; None where too few nights tell a slope."""
        if self.slope is None or self.verdict is Verdict.TOO_FEW:
            return None
        return grown(self.slope.per_year, self.days / DAYS_A_YEAR)

    @property
    def yearly_factor(self) -> Interval | None:
        """What the slope multiplies the landing error by in a year; None where under half a year of nights tells it."""
        return self.grown.factor if self.grown and self.grown.days is None else None


@dataclass(frozen=True, slots=True)
class LandingCourse:
    """How a mount's landing errors went on: the trend by itself, and the change at each restart inside it.

    `restarts` are those that it was reckoned with.
    """

    restarts: Restarts
    trend: Trend
    changes: list[ServiceChange | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordedLandings:
    """A mount's landings, of one set-up at least, and their course."""

    key: UUID
    mount: str
    landings: Landings
    course: LandingCourse

    @property
    def restarts(self) -> Restarts:
        return self.course.restarts


def mount_history(database: Database, mount_name: str) -> MountHistory:
    """The history of a mount. Raises UnknownName, NoArrivals."""
    return compare_mounts(database, [mount_name])[0]


def compare_mounts(database: Database, mount_names: list[str]) -> list[MountHistory]:
    """The histories of several mounts, their verdicts allowing for looking at all of them together."""
    with snapshot_of(database) as snapshot:
        recorded = [recorded_landings(snapshot, snapshot.mount_named(name)) for name in mount_names]
        club = own_of_club(snapshot)
    return histories_together(recorded, club)


def histories_together(recorded: Sequence[RecordedLandings], club: ClubOwn) -> list[MountHistory]:
    """The histories of mounts that have set-ups on record; the verdict on one alone is its own."""
    by_key = club.by_key()
    owns = [by_key.get(one.key) for one in recorded]
    verdicts = verdicts_together([own.trend if own else None for own in owns])
    return [
        _history(one, own, verdict, club.adjusted_for)
        for one, own, verdict in zip(recorded, owns, verdicts, strict=True)
    ]


def recorded_landings(snapshot: Snapshot, mount: UUID) -> RecordedLandings:
    """What is on record of a mount's landings. Raises NoArrivals."""
    landings = snapshot.landings(mount)
    if not landings.setups:
        raise NoArrivals(snapshot.mounts[mount].name)
    course = snapshot.kept.get(
        Result.of_mount(COURSE, mount),
        [mount],
        LandingCourse,
        lambda: _course(landings, restarts_of(MountFits(snapshot), mount)),
    )
    return RecordedLandings(key=mount, mount=snapshot.mounts[mount].name, landings=landings, course=course)


def _course(landings: Landings, restarts: Restarts) -> LandingCourse:
    changes = service_changes(landings.unbiased_logs[0], _positions(landings, restarts.days))
    return LandingCourse(restarts, _trend(landings, restarts), changes)


def _trend(landings: Landings, restarts: Restarts) -> Trend:
    """The trend since the last restart as the mount's users saw it."""
    places, services = _positions(landings, restarts.days), restarts.services
    since = restarts.since_words(landings.setups[0].night, landings.setups[-1].night)
    log_error, _ = landings.unbiased_logs
    found = trend_of(landings.years, log_error, places, landings.temperature_c, since_words=since)
    if services and services[-1] > landings.setups[-1].night:
        return untried(found, services[-1])
    return found


def untried(trend: Trend, day: date) -> Trend:
    """The trend of a mount that was serviced after its last set-up: what went before does not count any more."""
    return replace(
        trend,
        slope=None,
        verdict=Verdict.TOO_FEW,
        reasons=(f"no set-up since the service of {day}; a verdict needs {FEWEST_FOR_A_VERDICT} nights",),
        count=0,
        nights=0,
        years=0.0,
        earlier=(*trend.earlier, trend.slope),
    )


def _positions(landings: Landings, days: Sequence[date]) -> list[int]:
    nights = [setup.night.toordinal() for setup in landings.setups]
    return restart_positions(nights, [day.toordinal() for day in days])


def _history(
    recorded: RecordedLandings, own: MountOwn | None, verdict: JointVerdict, adjusted_for: Sequence[str]
) -> MountHistory:
    landings, restarts, plain = recorded.landings, recorded.restarts, recorded.course.trend
    nights = landings.setups[0].night, landings.setups[-1].night
    begun, since = restarts.begun_by(nights[1]), restarts.since_words(*nights)
    tells = own is not None and own.trend is not None
    alarms = list(own.alarms) if own else []
    adjusted_for = [name for name in adjusted_for if own and _differs(own, name)]
    allowed = [*adjusted_for, *(["change"] if begun else [])]
    changes = _changed(recorded)
    told = [too_few_reason(plain.count, plain.nights, since)] if begun else list(plain.reasons)
    if own and tells:
        told = own_reasons(own, verdict, plain, adjusted_for, since)
    return MountHistory(
        mount=recorded.mount,
        setups=[_setup(landings, place) for place in range(len(landings.setups))],
        slope=own.trend.slope if own and own.trend else None,
        days=own.days if own else 0,
        verdict=verdict.verdict,
        words=verdict_words(recorded.mount, own, verdict.verdict, begun, since),
        as_used=AsUsed(plain.slope, plain.verdict),
        adjusted_for=allowed if tells else [],
        reasons=[
            *told,
            *(change_words(recorded.mount, one.change, one.factor) for one in changes),
            *_left_out(landings),
            *(alarm_words(alarm) for alarm in alarms),
        ],
        alarms=alarms,
        services=_serviced(recorded),
        changes=changes,
        since=since,
    )


def _differs(own: MountOwn, name: str) -> bool:
    """Whether there is anything to allow for: a mount with one tube, or of unknown users, has nothing."""
    if name == "observer":
        return bool(own.observers)
    return name != "tube" or (own.trend is not None and own.trend.tubes > 1)


def _left_out(landings: Landings) -> Iterator[str]:
    """Says so where set-ups have no landing to count."""
    silent = int(np.isnan(landings.log_error).sum())
    if silent:
        without = f"{counted(silent, 'set-up')} without a landing after the last sync"
        yield f"{without} {'is' if silent == 1 else 'are'} left out"


def _setup(landings: Landings, place: int) -> SetupHistory:
    return SetupHistory(
        setup=landings.setups[place],
        arrivals=int(landings.measured[place] + landings.told[place]),
        told_in_words=int(landings.told[place]),
        half_arcmin=landings.errors.interval(place),
        rms_arcmin=_known(landings.rms_arcmin[place]),
        median_arcmin=_known(landings.median_arcmin[place]),
        observer=landings.observers[place],
    )


def _known(value: float) -> float | None:
    return None if np.isnan(value) else float(value)


def _at_restarts(recorded: RecordedLandings) -> dict[date, ServiceChange | None]:
    """The change at each restart; one before the first set-up, or with another on its heels, has none."""
    landings, days = recorded.landings, recorded.restarts.days
    places = _positions(landings, days)
    inside = {place for place in places if 0 < place < len(landings.setups)}
    change_at = dict(zip(sorted(inside), recorded.course.changes, strict=True))
    last = dict(zip(places, days, strict=True))
    return {
        day: change_at.get(place) if last[place] == day else None
        for day, place in zip(days, places, strict=True)
    }


def _serviced(recorded: RecordedLandings) -> list[Serviced]:
    """Each day of services with what was done to the landing error from the last set-up before to the next."""
    at, days = _at_restarts(recorded), sorted({*recorded.restarts.services})
    place_of = dict(zip(days, _positions(recorded.landings, days), strict=True))
    found = []
    for day in days:
        change = at[day]
        if change is None:
            found.append(Serviced(day, None, None))
            continue
        earlier = tuple(one for one in days if one < day and place_of[one] == place_of[day])
        found.append(Serviced(day, change.factor, change.helped, earlier))
    return found


def _changed(recorded: RecordedLandings) -> list[Changed]:
    """Each change that nobody wrote down with what it did."""
    at = _at_restarts(recorded)
    changes = ((one, at[one.since]) for one in recorded.restarts.changes)
    return [Changed(one, change.factor if change else None) for one, change in changes]
