"""The chance of landing in a field, against arithmetic by hand.

With Rayleigh's law and a mean of squared distances m, a share 1 - exp(-R^2 / m) of the landings is within R. The field
is 60' across, so R = 30'.
"""

from datetime import date, datetime
from math import exp, sqrt

import pytest

from obslog.club.performance.landing_chance import NEWEST_SETUPS, LandingChance, landing_chance
from obslog.club.upkeep.services import add_service
from obslog.records.name_lookup import by_name
from obslog.records.opening import Database
from obslog.records.tables.logbook_tables import Mount
from tests.club.performance.histories import Evening, fortnightly, put_on_record

FIELD = 60.0
NIGHTS = fortnightly(20)


def chance(database: Database, mount: str = "Heron") -> LandingChance | None:
    with database.read() as session:
        return landing_chance(session, by_name(session, Mount, mount), FIELD)


def known(database: Database) -> LandingChance:
    found = chance(database)
    assert found is not None
    return found


def within(mean_square: float) -> float:
    return 1 - exp(-900 / mean_square)


def test_without_a_landing_on_record_there_is_no_chance_to_tell(club: Database) -> None:
    assert chance(club) is None
    put_on_record(club, [Evening(NIGHTS[0]), Evening(NIGHTS[1], [5], mount="Bracken")])
    assert chance(club) is None


def test_one_setup_gives_the_chance_of_its_own_landings_within_its_own_interval(club: Database) -> None:
    put_on_record(club, [Evening(NIGHTS[0], [10, 30, 50])])
    found = known(club)
    assert (found.setups, found.arrivals) == (1, 3)
    assert found.chance == pytest.approx(within((100 + 900 + 2500) / 3), rel=1e-6)
    assert found.low is not None
    assert found.high is not None
    assert 0 < found.low < found.chance < found.high < 1


def test_an_end_that_the_landings_do_not_bound_is_not_told(club: Database) -> None:
    put_on_record(club, [Evening(NIGHTS[0], words=["lost", "lost"])])
    assert (known(club).low, known(club).high is None) == (None, False)
    put_on_record(club, [Evening(NIGHTS[0], words=["in", "in"], mount="Bracken")])
    bracken = chance(club, "Bracken")
    assert bracken is not None
    assert (bracken.low is None, bracken.high) == (False, None)


def test_of_several_setups_it_is_the_mean_with_students_interval(club: Database) -> None:
    put_on_record(club, [Evening(night, [r]) for night, r in zip(NIGHTS, (20, 30, 45), strict=False)])
    each = [within(r**2) for r in (20, 30, 45)]
    mean = sum(each) / 3
    sd = sqrt(sum((one - mean) ** 2 for one in each) / 2)
    reach = 4.302653 * sd / sqrt(3)  # Student's t, 2 degrees of freedom, 95 %: printed tables
    found = known(club)
    assert found.chance == pytest.approx(mean, rel=1e-6)
    assert (found.low, found.high) == pytest.approx((max(mean - reach, 0), min(mean + reach, 1)), rel=1e-5)
    assert (found.setups, found.arrivals) == (3, 3)


def test_an_interval_does_not_leave_what_a_chance_can_be(club: Database) -> None:
    put_on_record(club, [Evening(NIGHTS[0], [1]), Evening(NIGHTS[1], [500])])
    assert (known(club).low, known(club).high) == (0.0, 1.0)


def test_only_the_newest_setups_count(club: Database) -> None:
    old = [Evening(night, [200]) for night in NIGHTS[: 20 - NEWEST_SETUPS]]
    put_on_record(club, old + [Evening(night, [20, 20]) for night in NIGHTS[20 - NEWEST_SETUPS :]])
    found = known(club)
    assert (found.setups, found.arrivals) == (12, 24)
    assert found.chance == pytest.approx(within(400), rel=1e-6)


def test_only_setups_since_the_last_service_of_the_mechanics_count_that_day_among_them(
    club: Database, now: datetime
) -> None:
    put_on_record(club, [Evening(night, [r]) for night, r in zip(NIGHTS, (200, 150, 20, 20), strict=False)])
    for day, mechanical in ((NIGHTS[1], True), (NIGHTS[2], True), (NIGHTS[3], False)):
        add_service(club, "mount", "Heron", "greased", now, on=day, mechanical=mechanical)
    add_service(club, "mount", "Bracken", "greased", now, on=date(2026, 2, 1), mechanical=True)
    found = known(club)
    assert (found.setups, found.chance) == (2, pytest.approx(within(400), rel=1e-6))
    add_service(club, "mount", "Heron", "worm changed", now, on=date(2026, 2, 1), mechanical=True)
    assert chance(club) is None
