"""A mount's pointing history: how well each of its set-ups landed, and whether that changes over the months."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from uuid import UUID

import numpy as np
from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.errors import ObslogError, quoted
from obslog.records.opening import Database
from obslog.records.queries import by_name
from obslog.records.tables import Arrival, Mount, Night, Service, Setup, Site
from obslog.trends.landings import landing_summary
from obslog.trends.slopes import FEWEST_FOR_A_VERDICT, Slope, Verdict, theil_sen_slope, verdict_of
from obslog.vocabulary import Role

DAYS_PER_YEAR = 365.25


class NoArrivals(ObslogError):
    def __init__(self, mount: str) -> None:
        super().__init__(
            f"There are no arrivals of {mount} on record.",
            f"Take in a sheet with obslog import arrivals FILE, or start a set-up: obslog setup start {quoted(mount)}",
        )


@dataclass(frozen=True, slots=True)
class SetupHistory:
    """One set-up: its measured arrivals after the last sync. None where there were none."""

    night: date
    setup: int
    site: str
    arrivals: int
    unmeasured: int
    half_land_within_arcmin: float | None
    low_arcmin: float | None
    high_arcmin: float | None
    rms_arcmin: float | None
    median_arcmin: float | None


@dataclass(frozen=True, slots=True)
class MountHistory:
    """A mount's set-ups in order, the slope of the natural logarithm of the landing error, and the verdict."""

    mount: str
    setups: list[SetupHistory]
    slope: Slope | None
    verdict: Verdict
    reasons: list[str]
    services: list[date]
    alarms: list[date] | None = None


def mount_history(database: Database, mount_name: str) -> MountHistory:
    """The history of a mount. Raises UnknownName, NoArrivals."""
    with database.read() as session:
        mount = by_name(session, Mount, mount_name)
        setups = [_history(*group) for group in _setups(session, mount.id)]
        services = select(Service.done_on).where(Service.equipment_id == mount.id, Service.mechanical)
        dates = list(session.scalars(services.order_by(Service.done_on)))
    if not setups:
        raise NoArrivals(mount.name)
    judged = [(s.night, s.half_land_within_arcmin) for s in setups if s.half_land_within_arcmin]
    slope = landing_slope(judged)
    verdict = verdict_of(slope, len(judged))
    return MountHistory(
        mount.name, setups, slope, verdict, _reasons(verdict, slope, len(judged), len(setups)), dates
    )


def landing_slope(landings: Iterable[tuple[date, float]]) -> Slope | None:
    """The slope per year of the natural logarithm of the half-landing radius: 0.69 doubles it in a year.

    The ends of its interval are nan where nearly all nights and radii are alike, so that the data bound nothing.
    """
    pairs = list(landings)
    years = [night.toordinal() / DAYS_PER_YEAR for night, _ in pairs]
    with np.errstate(invalid="ignore"):
        return theil_sen_slope(years, np.log([half for _, half in pairs]) if pairs else [])


def growth_words(slope: Slope) -> str:
    """The slope as what it does to the landing error in a year: `x 1.6 a year (1.3 to 2.0)`."""
    times, low, high = (float(np.exp(value)) for value in (slope.per_year, slope.low, slope.high))
    return f"x {times:.2f} a year (95 %: {low:.2f} to {high:.2f})"


def _reasons(verdict: Verdict, slope: Slope | None, judged: int, all_setups: int) -> list[str]:
    basis = f"{judged} of {all_setups} set-ups have measured arrivals after their last sync"
    if slope is None or verdict is Verdict.TOO_FEW:
        return [f"{basis}; a verdict needs {FEWEST_FOR_A_VERDICT}"]
    side = {
        Verdict.WORSENING: "the whole interval is above 1",
        Verdict.IMPROVING: "the whole interval is below 1",
        Verdict.STEADY: "the interval holds 1, no change",
    }[verdict]
    return [
        f"{basis}",
        f"landing error {growth_words(slope)}: {side}",
        f"p = {slope.p:.2g} for no trend (Kendall)",
    ]


ArrivalRow = tuple[Role, float | None, float | None]


def _setups(session: Session, mount_id: UUID) -> Iterator[tuple[date, int, str, list[ArrivalRow]]]:
    """The mount's set-ups in order of time, each with the roles and offsets of its arrivals in order of time."""
    query = (
        select(
            Night.night_of, Setup.ordinal, Site.name, Arrival.role, Arrival.offset_east_arcmin,
            Arrival.offset_north_arcmin,
        )
        .join(Setup, Arrival.setup_id == Setup.id)
        .join(Night, Setup.night_id == Night.id)
        .join(Site, Night.site_id == Site.id)
        .where(Setup.mount_id == mount_id)
        .order_by(Night.night_of, Site.name_key, Setup.ordinal, Arrival.at_utc, Arrival.id)
    )  # fmt: skip
    for key, rows in groupby(session.execute(query), key=lambda row: (row[0], row[1], row[2])):
        yield *key, [(role, east, north) for *_, role, east, north in rows]


def _history(night: date, setup: int, site: str, rows: list[ArrivalRow]) -> SetupHistory:
    last_sync = max((place for place, row in enumerate(rows) if row[0] == Role.SYNC), default=None)
    after = [] if last_sync is None else rows[last_sync + 1 :]
    measured = [(east, north) for _, east, north in after if east is not None and north is not None]
    summary = landing_summary([east for east, _ in measured], [north for _, north in measured])
    unmeasured = len(after) - len(measured)
    if summary is None:
        return SetupHistory(night, setup, site, 0, unmeasured, None, None, None, None, None)
    half = summary.half_arcmin
    return SetupHistory(
        night, setup, site, summary.count, unmeasured, half.value, half.low, half.high, summary.rms_arcmin,
        summary.median_arcmin,
    )  # fmt: skip
