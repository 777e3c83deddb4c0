"""The club's day is that of the clocks at its sites, as the tz database has them."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta

import pytest

from obslog.club.register.club_day import club_day, day_meant
from obslog.club.register.named_records import add
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.storeroom.retirement import retire
from obslog.records.database import Database
from obslog.times import FutureDate

BEGUN = datetime(2026, 3, 2, tzinfo=UTC)
IN_THE_MORNING = datetime(2026, 11, 29, 19, 0, tzinfo=UTC)
"""8:00 on 30 November in Auckland, which is 13 hours ahead in summer."""
IN_THE_EVENING = datetime(2026, 11, 30, 4, 0, tzinfo=UTC)
"""20:00 on 29 November in Los Angeles, which is 8 hours behind in winter."""


def at_sites(database: Database, zones: Sequence[str | None]) -> Database:
    for number, zone in enumerate(zones):
        add(database, "site", f"Site {number}", {"zone": zone}, BEGUN)
    return database


@pytest.mark.parametrize(
    ("zones", "now", "day"),
    [
        ([], IN_THE_EVENING, date(2026, 11, 30)),
        ([None], IN_THE_EVENING, date(2026, 11, 30)),
        (["Europe/London"], IN_THE_EVENING, date(2026, 11, 30)),
        (["America/Los_Angeles"], IN_THE_EVENING, date(2026, 11, 29)),
        (["Pacific/Auckland"], IN_THE_MORNING, date(2026, 11, 30)),
        (["Pacific/Auckland", "Europe/London"], IN_THE_MORNING, date(2026, 11, 30)),
        (["Europe/London", "Pacific/Auckland"], IN_THE_MORNING, date(2026, 11, 29)),
        (["Pacific/Auckland", "Europe/London", "Europe/Paris", None], IN_THE_MORNING, date(2026, 11, 29)),
    ],
)
def test_it_is_the_date_at_most_sites_and_of_as_many_at_the_first(
    database: Database, zones: list[str | None], now: datetime, day: date
) -> None:
    assert club_day(at_sites(database, zones), now) == day


def test_a_site_out_of_use_has_no_say(database: Database) -> None:
    at_sites(database, ["Pacific/Auckland", "America/Los_Angeles"])
    retire(database, "site", "Site 0", "sold", BEGUN.date(), BEGUN)
    assert club_day(database, IN_THE_EVENING) == date(2026, 11, 29)


def test_without_a_day_it_came_about_on_the_clubs_and_never_on_a_day_to_come(database: Database) -> None:
    at_sites(database, ["America/Los_Angeles"])
    assert day_meant(database, None, IN_THE_EVENING) == date(2026, 11, 29)
    assert day_meant(database, date(2026, 2, 1), IN_THE_EVENING) == date(2026, 2, 1)
    with pytest.raises(FutureDate):
        day_meant(database, date(2026, 12, 2), IN_THE_EVENING)


@pytest.mark.parametrize(
    ("zone", "now", "day"),
    [
        ("America/Los_Angeles", IN_THE_EVENING, date(2026, 11, 29)),
        ("Pacific/Auckland", IN_THE_MORNING, date(2026, 11, 30)),
    ],
)
def test_a_loan_is_of_the_day_on_the_wall_and_ends_on_it(
    database: Database, zone: str, now: datetime, day: date
) -> None:
    at_sites(database, [zone])
    add(database, "member", "Ines", {}, BEGUN)
    add(database, "item", "Lamp", {}, BEGUN)
    assert lend(database, "Lamp", "Ines", now).loan.out_on == day
    assert take_back(database, "Lamp", now + timedelta(hours=1)).loan.back_on == day
