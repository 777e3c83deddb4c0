"""The officer's annual report: the store-room's year on one page, each line with its count."""

from datetime import date, datetime, timedelta

from obslog.club.annual.inventory_year import acquisitions, holdings, losses, retirements, utilisation
from obslog.club.annual.lending_year import loan_year, waiting_year
from obslog.club.annual.nights_year import fleet_landing, night_year, service_year
from obslog.club.annual.report_records import AnnualReport, Period
from obslog.club.annual.steps_year import steps_year
from obslog.club.annual.storeroom_year import read_storeroom
from obslog.club.register.rule_book import rules_in_force
from obslog.errors import WrongInput
from obslog.records.database import Database
from obslog.times import months_later, not_a_future_date


class BadPeriod(WrongInput):
    def __init__(self, first: date, last: date) -> None:
        super().__init__(f"A period from {first} to {last} has no days.", "Give --from a day before --to.")


def period_of(first: date | None, last: date | None, today: date, now: datetime) -> Period:
    """The days asked for; the last is yesterday and the period twelve months, where nothing is said.

    A last day that has not come yet is taken, and the period ends today. Raises FutureDate (the first day), BadPeriod.
    """
    asked = last or today - timedelta(days=1)
    start = not_a_future_date(first or _year_to(asked), now)
    end = min(asked, today)
    if start > end:
        raise BadPeriod(start, asked)
    return Period(start, end, asked_to=asked if asked > end else None)


def _year_to(last: date) -> date:
    """The first day of the year that ends with that day: no 29 February before it makes the year a day longer."""
    a_day = timedelta(days=1)
    return max(months_later(last, -12) + a_day, months_later(last + a_day, -12))


def annual_report(database: Database, period: Period, today: date, *, with_names: bool) -> AnnualReport:
    """The report of a period, read in a few statements whatever the number of items and loans.

    Who has what is told only `with_names`; without, members are counted.
    """
    with database.read() as session:
        rules, room = rules_in_force(session), read_storeroom(session, period)
        return AnnualReport(
            first=period.first,
            last=period.last,
            asked_to=period.asked_to,
            days=period.days,
            today=today,
            with_names=with_names,
            currency=rules.currency,
            nights=night_year(session, period),
            landing=fleet_landing(session, period, rules),
            utilisation=utilisation(room, period),
            loans=loan_year(session, period, today, rules, with_names=with_names),
            waiting=waiting_year(session, period, with_names=with_names),
            services=service_year(session, period),
            losses=losses(room, period),
            acquisitions=acquisitions(room, period),
            retired=retirements(room, period),
            holdings=holdings(room, with_names=with_names),
            steps=steps_year(session, period),
        )
