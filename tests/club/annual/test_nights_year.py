"""Nights, landing errors of the fleet and services of a period, against counting and arithmetic by hand."""

from collections.abc import Callable
from datetime import date, datetime
from math import log, sqrt
from typing import TypeVar

import pytest
from sqlalchemy.orm import Session

from obslog.club.annual.nights_year import fleet_landing, night_year, service_year
from obslog.club.annual.report_records import FleetLanding, Period
from obslog.club.night.nights import start_night
from obslog.club.register.rule_book import Rules
from obslog.club.upkeep.services import add_service
from obslog.records.database import Database
from tests.club.performance.histories import Evening, fortnightly, put_on_record

YEAR = Period(date(2025, 1, 1), date(2025, 12, 31))
FEW = Rules({"fewest-setups": 3})
T = TypeVar("T")


def told(database: Database, ask: Callable[[Session], T]) -> T:
    with database.read() as session:
        return ask(session)


def fleet(database: Database) -> FleetLanding:
    return told(database, lambda session: fleet_landing(session, YEAR, FEW))


def test_nights_setups_mounts_and_observers_are_counted_once_each(club: Database, now: datetime) -> None:
    first, last = YEAR.first, YEAR.last
    put_on_record(
        club,
        [
            Evening(first, [1]),
            Evening(first, [1]),
            Evening(first, [1], mount="Bracken", observer="Bram Ostler"),
            Evening(first, [1], site="Kestrel Ridge"),
            Evening(last, [1]),
            Evening(date(2024, 12, 31), [1], mount="Thistle"),
            Evening(date(2026, 1, 1), [1], mount="Thistle"),
        ],
    )
    start_night(club, "Mill Field", now, night=date(2025, 6, 1))  # a night on which nothing was set up
    found = told(club, lambda session: night_year(session, YEAR))
    assert (found.nights, found.sites, found.setups, found.mounts, found.observers) == (4, 2, 5, 2, 2)


def test_a_year_without_nights_has_none(club: Database) -> None:
    found = told(club, lambda session: night_year(session, YEAR))
    assert (found.nights, found.sites, found.setups, found.mounts, found.observers) == (0, 0, 0, 0, 0)


def test_the_fleet_against_the_period_before_is_the_ratio_of_geometric_means(club: Database) -> None:
    """Geometric means of 10, 20, 40 and of 5, 10, 20; with one landing half are within sqrt(ln 2) of its distance."""
    before, now = fortnightly(3, date(2024, 6, 1)), fortnightly(3, date(2025, 6, 1))
    put_on_record(
        club,
        [Evening(night, [r]) for night, r in zip(before, (10, 20, 40), strict=True)]
        + [Evening(night, [r]) for night, r in zip(now, (5, 10, 20), strict=True)],
    )
    found = fleet(club)
    assert (found.setups, found.before_setups, found.too_few) == (3, 3, None)
    assert found.before_arcmin is not None
    assert found.arcmin is not None
    assert found.change is not None
    assert found.before_arcmin.value == pytest.approx(20 * sqrt(log(2)), rel=1e-6)
    assert found.arcmin.value == pytest.approx(10 * sqrt(log(2)), rel=1e-6)
    assert found.change.value == pytest.approx(0.5, rel=1e-6)


def test_too_few_setups_give_no_figure_and_say_so(club: Database) -> None:
    put_on_record(club, [Evening(night, [10]) for night in fortnightly(3, date(2025, 6, 1))])
    put_on_record(club, [Evening(night, [10]) for night in fortnightly(2, date(2024, 6, 1))])
    found = fleet(club)
    assert found.arcmin is not None
    assert (found.setups, found.before_setups, found.before_arcmin, found.change) == (3, 2, None, None)
    assert found.too_few == (
        "too few set-ups with landing data: 2 in the period before, where at least 3 are needed"
    )


def test_services_are_counted_by_item_and_one_without_a_bill_has_an_unknown_cost(
    club: Database, now: datetime
) -> None:
    for mount, day, mechanical in (
        ("Heron", YEAR.first, True),
        ("Heron", YEAR.last, False),
        ("Bracken", date(2025, 6, 1), True),
        ("Bracken", date(2024, 12, 31), True),
        ("Bracken", date(2026, 1, 1), True),
    ):
        add_service(club, "mount", mount, "greased", now, on=day, mechanical=mechanical)
    found = told(club, lambda session: service_year(session, YEAR))
    assert (found.services, found.mechanical) == (3, 2)
    assert {(thing.name, thing.services) for thing in found.things} == {("Heron", 2), ("Bracken", 1)}
    assert (found.cost.total, found.cost.unknown) == (None, 3)
