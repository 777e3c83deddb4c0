"""The chance to land in a field: the mean over a mount's newest set-ups since its last mechanical service."""

from datetime import date
from math import log, sqrt

from numpy.testing import assert_allclose

from obslog.club.performance.landing_chance import LandingChance, landing_chance
from obslog.club.upkeep.services import add_service
from obslog.records.name_lookup import by_name
from obslog.records.opening import Database
from obslog.records.tables.logbook_tables import Mount
from tests.club.performance.histories import NOW, Evening, put_on_record

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
