"""The chance to land in a field: the mean over a mount's newest set-ups since its last mechanical service."""

from datetime import date
from math import exp, log, sqrt

import pytest
from numpy.testing import assert_allclose

from obslog.club.performance.landing_chance import LandingChance, landing_chance
from obslog.club.performance.placed_arrivals import NEWEST_SETUPS
from obslog.club.upkeep.services import add_service
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Mount
from obslog.values import Interval
from tests.club.performance.histories import NOW, Evening, fortnightly, put_on_record

FIRST, SECOND = date(2025, 1, 6), date(2025, 1, 20)
HALF = 6 * sqrt(log(2))
"""Half of the landings of Rayleigh's law are within this where all that were seen were 6' out: s^2 = 36 / 2."""


def chance(database: Database) -> LandingChance | None:
    """Of landing in a field whose radius is the half-landing radius of the first set-up."""
    with database.read() as session:
        return landing_chance(session, by_name(session, Mount, "Bracken"), 2 * HALF)


def test_the_mean_of_two_setups_by_hand(club: Database) -> None:
    put_on_record(
        club, [Evening(FIRST, [6] * 3, mount="Bracken"), Evening(SECOND, [12] * 2, mount="Bracken")]
    )
    found = chance(club)
    assert found is not None
    # The second lands twice as far out: 1 - 2^(-1/4). Student's t of one degree of freedom is 12.7: all is possible.
    assert_allclose(found.inside.value, (0.5 + 1 - 2**-0.25) / 2)
    assert (found.inside.low, found.inside.high, found.inside.count, found.arrivals) == (0.0, 1.0, 2, 5)


def test_what_came_before_a_mechanical_service_does_not_count(club: Database) -> None:
    put_on_record(
        club, [Evening(FIRST, [6] * 3, mount="Bracken"), Evening(SECOND, [12] * 2, mount="Bracken")]
    )
    add_service(club, "mount", "Bracken", "rebuilt", NOW, on=SECOND, mechanical=True)
    found = chance(club)
    assert found is not None
    assert_allclose(found.inside.value, 1 - 2**-0.25)
    assert found.inside.low is not None
    assert found.inside.high is not None
    assert found.inside.low < found.inside.value < found.inside.high
    assert (found.inside.count, found.arrivals) == (1, 2)


def test_nothing_on_record_is_no_chance(club: Database) -> None:
    assert chance(club) is None


FIELD = 60.0
NIGHTS = fortnightly(20)


def inside(database: Database, mount: str = "Heron") -> Interval:
    """Of landing within 30' of the centre."""
    with database.read() as session:
        found = landing_chance(session, by_name(session, Mount, mount), FIELD)
    assert found is not None
    return found.inside


def within(mean_square: float) -> float:
    """The share of Rayleigh's law within 30': 1 - exp(-30^2 / m), with m the mean of the squared distances."""
    return 1 - exp(-900 / mean_square)


def test_an_end_that_the_landings_do_not_bound_is_not_told(club: Database) -> None:
    put_on_record(
        club,
        [
            Evening(FIRST, words=["lost", "lost"]),
            Evening(FIRST, words=["in", "in"], mount="Bracken"),
        ],
    )
    assert (inside(club).low, inside(club).high is None) == (None, False)
    assert (inside(club, "Bracken").low is None, inside(club, "Bracken").high) == (False, None)


def test_of_several_setups_it_is_the_mean_with_students_interval(club: Database) -> None:
    put_on_record(club, [Evening(night, [r] * 4) for night, r in zip(NIGHTS, (20, 30, 45), strict=False)])
    each = [within(r**2) for r in (20, 30, 45)]
    mean = sum(each) / 3
    sd = sqrt(sum((one - mean) ** 2 for one in each) / 2)
    reach = 4.302653 * sd / sqrt(3)  # Student's t, 2 degrees of freedom, 95 %: printed tables
    found = inside(club)
    assert found.value == pytest.approx(mean, rel=1e-6)
    assert (found.low, found.high) == pytest.approx((max(mean - reach, 0), min(mean + reach, 1)), rel=1e-5)


def test_students_interval_narrows_with_the_number_of_setups(club: Database) -> None:
    """Five that differ little: neither end is at nothing or at certainty."""
    radii = (20, 25, 30, 35, 40)
    put_on_record(club, [Evening(night, [r] * 4) for night, r in zip(NIGHTS, radii, strict=False)])
    each = [within(r**2) for r in radii]
    mean = sum(each) / 5
    sd = sqrt(sum((one - mean) ** 2 for one in each) / 4)
    reach = 2.776445 * sd / sqrt(5)  # Student's t, 4 degrees of freedom, 95 %: printed tables
    assert 0 < mean - reach < mean + reach < 1
    found = inside(club)
    assert (found.low, found.high) == pytest.approx((mean - reach, mean + reach), rel=1e-5)


def test_setups_that_agree_by_chance_are_known_no_better_than_each_of_them(club: Database) -> None:
    """Six in which each landing was 30' out, in a field of 60': 1 - 1/e.

    With n measured landings the logarithm of Rayleigh's scale is known to 1 / (2 sqrt n), and the chance 1 - exp(-x)
    changes by 2 x exp(-x) with that logarithm; here x = 1.
    """
    put_on_record(club, [Evening(night, [30] * 2) for night in NIGHTS[:6]])
    reach = (
        2.570582 * (2 / exp(1)) / (2 * sqrt(2)) / sqrt(6)
    )  # Student's t, 5 degrees of freedom: printed tables
    found = inside(club)
    assert found.value == pytest.approx(within(900), rel=1e-6)
    assert (found.low, found.high) == pytest.approx((within(900) - reach, within(900) + reach), rel=1e-5)


def test_two_setups_told_in_a_word_each_leave_all_possible(club: Database) -> None:
    """One "in" each, in the field that is asked for: an even chance, known to 0.26, and Student's t of one is 12.7."""
    put_on_record(club, [Evening(night, words=["in"]) for night in NIGHTS[:2]])
    assert (inside(club).low, inside(club).high) == (0.0, 1.0)


def test_only_the_newest_setups_count(club: Database) -> None:
    old = [Evening(night, [200]) for night in NIGHTS[: 20 - NEWEST_SETUPS]]
    put_on_record(club, old + [Evening(night, [20, 20]) for night in NIGHTS[20 - NEWEST_SETUPS :]])
    assert inside(club).count == 12
    assert inside(club).value == pytest.approx(within(400), rel=1e-6)


def test_of_services_the_last_counts_that_is_of_the_mechanics_and_of_this_mount(club: Database) -> None:
    put_on_record(club, [Evening(night, [r]) for night, r in zip(NIGHTS, (200, 150, 20, 20), strict=False)])
    for mount, day, mechanical in (
        ("Heron", NIGHTS[1], True),
        ("Heron", NIGHTS[2], True),
        ("Heron", NIGHTS[3], False),
        ("Bracken", date(2026, 2, 1), True),
    ):
        add_service(club, "mount", mount, "greased", NOW, on=day, mechanical=mechanical)
    assert inside(club).count == 2
    assert inside(club).value == pytest.approx(within(400), rel=1e-6)
