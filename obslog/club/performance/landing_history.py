"""A mount's pointing history: how well each set-up landed, whether that changes over the months, and since when."""

from dataclasses import dataclass, replace
from datetime import date
from uuid import UUID

import numpy as np
from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.performance.landing_errors import Landings, load_landings
from obslog.errors import ObslogError, quoted
from obslog.records.name_lookup import by_name
from obslog.records.opening import Database
from obslog.records.tables.logbook_tables import Mount, Service
from obslog.trends.series.control_chart import NIGHTS_PER_YEAR, Alarm
from obslog.trends.series.segments import restart_positions
from obslog.trends.series.service_changes import ServiceChange, service_changes
from obslog.trends.series.theil_sen import FEWEST_FOR_A_VERDICT, Slope, Verdict
from obslog.trends.series.trend import Trend, judged_together, trend_of
from obslog.values import Interval

PACE_OF = (4.0, 100.0)


class NoArrivals(ObslogError):
    def __init__(self, mount: str) -> None:
        super().__init__(
            f"There are no arrivals of {mount} on record.",
            f"Take in a sheet with obslog import arrivals FILE, or start a set-up: obslog setup start {quoted(mount)}",
        )


@dataclass(frozen=True, slots=True)
class SetupHistory:
    """One set-up: its arrivals after the last sync, measured or told in a word. None where there were none."""

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


@dataclass(frozen=True, slots=True)
class Serviced:
    """A mechanical service, and what the landing error did from before to after: a factor with its interval."""

    day: date
    factor: Interval | None
    helped: float | None


@dataclass(frozen=True, slots=True)
class AlarmNight:
    """A night on which the control chart left its limits, to which side, and when that most likely began."""

    night: date
    worse: bool
    likely_since: date | None


@dataclass(frozen=True, slots=True)
class MountHistory:
    """A mount's set-ups in order, the slope of its log landing error, the verdict and its reasons."""

    mount: str
    setups: list[SetupHistory]
    slope: Slope | None
    verdict: Verdict
    reasons: list[str]
    alarms: list[AlarmNight]
    services: list[Serviced]


def mount_history(database: Database, mount_name: str) -> MountHistory:
    """The history of a mount. Raises UnknownName, NoArrivals."""
    with database.read() as session:
        mount = by_name(session, Mount, mount_name)
        landings, services = load_landings(session, mount.id), _mechanical_services(session, mount.id)
    if not landings.setups:
        raise NoArrivals(mount.name)
    return _history(mount.name, landings, services, _trend(landings, services))


def compare_mounts(database: Database, mount_names: list[str]) -> list[MountHistory]:
    """The histories of several mounts, their verdicts allowing for looking at all of them together."""
    loaded = []
    with database.read() as session:
        for name in mount_names:
            mount = by_name(session, Mount, name)
            landings, services = load_landings(session, mount.id), _mechanical_services(session, mount.id)
            if not landings.setups:
                raise NoArrivals(mount.name)
            loaded.append((mount.name, landings, services))
    trends = judged_together([_trend(landings, services) for _, landings, services in loaded])
    return [_history(*parts, trend) for parts, trend in zip(loaded, trends, strict=True)]


def _trend(landings: Landings, services: list[date]) -> Trend:
    """The trend since the last service; the chart's limits are set for the pace at which this mount is set up."""
    years = landings.years
    restarts = _restarts(landings, services)
    span = float(np.ptp(years)) if years.size > 1 else 0.0
    pace = float(np.clip(years.size / span, *PACE_OF)) if span > 0 else NIGHTS_PER_YEAR
    found = trend_of(years, landings.log_error, restarts, landings.temperature_c, nights_per_year=pace)
    if services and services[-1] > landings.setups[-1].night:
        return untried(found, services[-1])
    return found


def untried(trend: Trend, day: date) -> Trend:
    """The trend of a mount that was serviced after its last set-up: what went before does not count any more."""
    return replace(
        trend,
        slope=None,
        verdict=Verdict.TOO_FEW,
        reasons=(f"no set-up since the service of {day}; a verdict needs {FEWEST_FOR_A_VERDICT}",),
        count=0,
        earlier=(*trend.earlier, trend.slope),
    )


def _restarts(landings: Landings, services: list[date]) -> list[int]:
    nights = [setup.night.toordinal() for setup in landings.setups]
    return restart_positions(nights, [day.toordinal() for day in services])


def _history(mount: str, landings: Landings, services: list[date], trend: Trend) -> MountHistory:
    alarms = [_alarm(landings, alarm) for alarm in trend.alarms]
    silent = int(np.isnan(landings.log_error).sum())
    tell = "tells" if silent == 1 else "tell"
    unknown = [f"{silent} more {tell} nothing of where objects landed after the last sync"] if silent else []
    changes = service_changes(landings.log_error, _restarts(landings, services))
    return MountHistory(
        mount,
        [_setup(landings, place) for place in range(len(landings.setups))],
        trend.slope,
        trend.verdict,
        [*trend.reasons, *unknown, *(_alarm_words(alarm) for alarm in alarms)],
        alarms,
        _serviced(landings, services, changes),
    )


def _setup(landings: Landings, place: int) -> SetupHistory:
    name, half = landings.setups[place], landings.errors.interval(place)
    return SetupHistory(
        name.night,
        name.setup,
        name.site,
        int(landings.measured[place] + landings.told[place]),
        int(landings.told[place]),
        half.value if half else None,
        half.low if half else None,
        half.high if half else None,
        _known(landings.rms_arcmin[place]),
        _known(landings.median_arcmin[place]),
    )


def _known(value: float) -> float | None:
    return None if np.isnan(value) else float(value)


def _alarm(landings: Landings, alarm: Alarm) -> AlarmNight:
    since = landings.setups[alarm.step.first].night if alarm.step else None
    return AlarmNight(landings.setups[alarm.position].night, alarm.side > 0, since)


def _alarm_words(alarm: AlarmNight) -> str:
    since = f", most likely since {alarm.likely_since}" if alarm.likely_since else ""
    way = "worse" if alarm.worse else "better"
    return (
        f"{alarm.night}: outside the limits, {way} than its first nights{since} (once in two years by chance)"
    )


def _serviced(
    landings: Landings, services: list[date], changes: list[ServiceChange | None]
) -> list[Serviced]:
    """Each service with the change at it; one before the first set-up, or with another on its heels, has none."""
    inside = {place for place in _restarts(landings, services) if 0 < place < len(landings.setups)}
    change_at = dict(zip(sorted(inside), changes, strict=True))
    found = []
    for day, place in zip(services, _restarts(landings, services), strict=True):
        change = change_at.get(place)
        found.append(Serviced(day, change.factor if change else None, change.helped if change else None))
    return found


def _mechanical_services(session: Session, mount_id: UUID) -> list[date]:
    query = select(Service.done_on).where(Service.equipment_id == mount_id, Service.mechanical)
    return list(session.scalars(query.order_by(Service.done_on)))
