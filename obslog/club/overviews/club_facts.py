"""What the page of the club shows, from one look at the records: this year beside the last, and all years."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

import numpy as np
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from obslog.club.annual.lending_year import loan_year
from obslog.club.annual.nights_year import night_year
from obslog.club.annual.report import annual_report, period_of
from obslog.club.annual.report_records import AnnualReport, NightYear, Period
from obslog.club.overviews.months import MonthCount, by_month
from obslog.club.pages.basis import Basis, Rows, some, store_rows
from obslog.club.pages.mount_rows import NO_LANDING
from obslog.club.performance.snapshot import Snapshot
from obslog.club.register.club_day import club_day
from obslog.club.register.rule_book import rules_in_force
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Night, Observation, Setup
from obslog.values import Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class FleetYear:
    """A calendar year: nights, set-ups, set-ups with a landing, and the mean of their radii; None without any."""

    year: int
    nights: int
    setups: int
    landed: int
    half_arcmin: Interval | None


@dataclass(frozen=True, slots=True, kw_only=True)
class YearBefore:
    """The same number of days before the report's."""

    first: date
    last: date
    nights: NightYear
    observations: int
    landed: int
    half_arcmin: Interval | None
    loans: int
    borrowers: int
    came_back_late: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ClubFacts:
    """The report of the period, the period before it, the months of both, and the fleet year by year."""

    day: date
    report: AnnualReport
    observations: int
    before: YearBefore
    months: Sequence[MonthCount]
    years: Sequence[FleetYear]
    basis: Basis


def club_period(database: Database, first: date | None, last: date | None, now: datetime) -> Period:
    """The days asked for, as the officer's report takes them. Raises FutureDate, BadPeriod."""
    return period_of(first, last, club_day(database, now), now)


def club_facts(database: Database, period: Period, now: datetime, *, with_names: bool) -> ClubFacts:
    """The club's year; borrowers are named only `with_names`."""
    today = club_day(database, now)
    with database.one_look() as look:
        report = annual_report(look, period, today, with_names=with_names)
        with look.read() as session:
            nights = list(session.scalars(select(Night.night_of).order_by(Night.night_of)))
            years = fleet_years(session, nights)
            before = _year_before(session, period.before, report, today)
            return ClubFacts(
                day=today,
                report=report,
                observations=_observations(session, period),
                before=before,
                months=by_month(nights, period.before.first, period.last, period.first),
                years=years,
                basis=_basis(today, years, store_rows(report, before.loans)),
            )


def fleet_years(session: Session, nights: Sequence[date]) -> list[FleetYear]:
    """Every year from the first night on record to the last, also those without a night."""
    if not nights:
        return []
    landings = Snapshot(session).all_landings()
    of_year = np.array([setup.night.year for setup in landings.setups], int)
    counts, setups = Counter(night.year for night in nights), _setups_by_year(session)
    found = []
    for year in range(min(counts), max(counts) + 1):
        known = (of_year == year) & np.isfinite(landings.log_error)
        found.append(
            FleetYear(
                year=year,
                nights=counts[year],
                setups=setups[year],
                landed=int(known.sum()),
                half_arcmin=landings.mean_half_arcmin(known),
            )
        )
    return found


def _setups_by_year(session: Session) -> Counter[int]:
    query = (
        select(Night.night_of, func.count(Setup.id))
        .join(Setup, Setup.night_id == Night.id)
        .group_by(Night.night_of)
    )
    found: Counter[int] = Counter()
    for night, setups in session.execute(query):
        found[night.year] += setups
    return found


def _year_before(session: Session, period: Period, report: AnnualReport, today: date) -> YearBefore:
    lent = loan_year(session, period, today, rules_in_force(session), with_names=False)
    return YearBefore(
        first=period.first,
        last=period.last,
        nights=night_year(session, period),
        observations=_observations(session, period),
        landed=report.landing.before_setups,
        half_arcmin=report.landing.before_arcmin,
        loans=lent.begun,
        borrowers=lent.borrowers,
        came_back_late=len(lent.late),
    )


def _observations(session: Session, period: Period) -> int:
    query = (
        select(func.count(Observation.id))
        .join(Night, Observation.night_id == Night.id)
        .where(Night.night_of.between(period.first, period.last))
    )
    return session.scalar(query) or 0


def _basis(today: date, years: Sequence[FleetYear], store: Sequence[Rows]) -> Basis:
    setups, landed = sum(one.setups for one in years), sum(one.landed for one in years)
    return Basis(
        day=today,
        used=some(
            [
                Rows(count=sum(one.nights for one in years), kind="night"),
                Rows(count=landed, kind="set-up"),
                *store,
            ]
        ),
        left_out=some([Rows(count=setups - landed, kind="set-up", why=NO_LANDING)]),
    )
