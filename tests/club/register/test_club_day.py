"""The club's day is that of the clocks at its sites, as the tz database has them."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta

import pytest

from obslog.club.annual.report import annual_report, period_of
from obslog.club.night.snags import add_snag
from obslog.club.register.club_day import club_day, day_meant, days_of, end_of_day
from obslog.club.register.named_records import add
from obslog.club.shelves.counting import saw, start
from obslog.club.shelves.standing import standing
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.storeroom.retirement import retire
from obslog.club.storeroom.store_page import store_page
from obslog.club.storeroom.waiting_list import reserve
from obslog.club.upkeep.services import add_service
from obslog.records.database import Database
from obslog.times import FutureDate
from obslog.vocabulary.steps import Step
from obslog.vocabulary.storeroom import Found

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


@pytest.mark.parametrize(
    ("zones", "hour"),
    [
        ([], 23),
        (["Europe/London"], 23),
        (["America/Los_Angeles"], 23 + 8),
        (["Pacific/Auckland"], 23 - 13),
        (["Pacific/Kiritimati"], 23 - 14),
        (["Pacific/Pago_Pago"], 23 + 11),
    ],
)
def test_a_day_ends_with_its_last_minute_on_the_wall(
    database: Database, zones: list[str | None], hour: int
) -> None:
    day = date(2026, 11, 29)
    with at_sites(database, zones).read() as session:
        assert end_of_day(session, day) == datetime(2026, 11, 29, 0, 59, tzinfo=UTC) + timedelta(hours=hour)
        day_of = days_of(session)
        last = end_of_day(session, day)
    assert (day_of(last), day_of(last + timedelta(minutes=1))) == (day, day + timedelta(days=1))


def test_a_day_that_was_left_out_ends_by_universal_time(database: Database) -> None:
    """Samoa had no 30 December 2011: tz database, Pacific/Apia."""
    with at_sites(database, ["Pacific/Apia"]).read() as session:
        assert end_of_day(session, date(2011, 12, 30)) == datetime(2011, 12, 30, 23, 59, tzinfo=UTC)


def a_lamp_lent_in_the_west(database: Database) -> Database:
    at_sites(database, ["America/Los_Angeles"])
    for kind, name in [("member", "Ines"), ("member", "Noor"), ("item", "Lamp")]:
        add(database, kind, name, {}, BEGUN)
    return database


def test_who_waited_for_an_hour_in_the_evening_waited_for_no_day_and_not_for_fewer(
    database: Database,
) -> None:
    (waits,) = reserve(a_lamp_lent_in_the_west(database), "Lamp", "Ines", IN_THE_EVENING)
    assert waits.asked_on == date(2026, 11, 29)
    lend(database, "Lamp", "Ines", IN_THE_EVENING + timedelta(hours=1))
    later = IN_THE_EVENING + timedelta(hours=2)
    period = period_of(None, date(2026, 11, 29), club_day(database, later), later)
    waiting = annual_report(database, period, club_day(database, later), with_names=False).waiting
    assert (waiting.served, waiting.served_median_days) == (1, 0)


def test_what_was_seen_in_the_evening_and_lent_afterwards_is_on_loan_and_not_against_the_record(
    database: Database,
) -> None:
    start(a_lamp_lent_in_the_west(database), IN_THE_EVENING)
    saw(database, "Lamp", IN_THE_EVENING)
    lend(database, "Lamp", "Ines", IN_THE_EVENING + timedelta(hours=1))
    assert [item.found for item in standing(database).items] == [Found.ON_LOAN]


def test_a_snag_stands_on_the_day_at_its_site_and_is_mended_on_the_clubs(database: Database) -> None:
    a_lamp_lent_in_the_west(database)
    add(database, "mount", "Heron", {}, BEGUN)
    add_snag(database, Step.CENTRE, "worm stuck", IN_THE_EVENING, mount="Heron", site="Site 0")
    add_service(database, "mount", "Heron", "meshed", IN_THE_EVENING, on=date(2026, 11, 29), mends=["centre"])
    history = store_page(database, "Heron", date(2026, 11, 29)).history
    assert {(event.day, event.words) for event in history if event.what == "snag"} == {
        (date(2026, 11, 29), "centre: worm stuck (mended 2026-11-29: meshed)")
    }
