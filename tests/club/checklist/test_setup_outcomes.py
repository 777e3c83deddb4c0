"""What went wrong at which step of a set-up: which snags, ticks and beginnings anew count, and with whom."""

from datetime import date, datetime, timedelta

import pytest

from obslog.club.checklist.checklist import checklist
from obslog.club.checklist.look_first import LookFirst
from obslog.club.checklist.setup_outcomes import Occasions
from obslog.club.checklist.step_ticks import tick_step
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Arrival, Member, Mount, Setup, Site, Snag
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.steps import Step
from tests.club.checklist.test_look_first import Logbook, evening, on

DAYS = [date(2026, 2, 1), date(2026, 2, 8)]
AFTER = date(2026, 2, 20)


def arrivals(log: Logbook, setup: Setup, day: date, count: int) -> None:
    """A sync and so many more, all near the centre."""
    for place in range(count):
        log.session.add(
            Arrival(
                setup_id=setup.id, role=Role.SYNC if place == 0 else Role.CHECK, target="Capella",
                at_utc=evening(day) + timedelta(minutes=place), offset_east_arcmin=3.0, offset_north_arcmin=4.0,
            )
        )  # fmt: skip


@pytest.mark.parametrize(("count", "given_up"), [(0, True), (2, True), (3, False)])
def test_a_set_up_with_two_arrivals_at_most_before_another_was_given_up(
    sqlite_club: Database, now: datetime, count: int, given_up: bool
) -> None:
    with sqlite_club.write(now) as session:
        log = Logbook(session)
        for day in DAYS:
            arrivals(log, log.setup(day), day, count)
            arrivals(log, log.setup(day, ordinal=2), day, 6)
    assert (Step.SYNC_STARS in on(sqlite_club, AFTER)) is given_up


def test_the_last_set_up_of_a_night_is_not_given_up_however_few_its_arrivals(
    sqlite_club: Database, now: datetime
) -> None:
    with sqlite_club.write(now) as session:
        log = Logbook(session)
        for day in DAYS:
            arrivals(log, log.setup(day), day, 6)
            arrivals(log, log.setup(day, ordinal=2), day, 1)
    assert on(sqlite_club, AFTER) == {}


@pytest.mark.parametrize(("years", "counted"), [(7, True), (9, False)])
def test_what_was_long_ago_counts_as_nothing(
    sqlite_club: Database, now: datetime, years: int, counted: bool
) -> None:
    """Of the weight of tonight, after 7 years 1/1097 is left and after 9 years 1/8103, by exp(-years)."""
    night = AFTER - timedelta(days=years * 365)
    with sqlite_club.write(now) as session:
        log = Logbook(session)
        setup = log.setup(night).id
    with sqlite_club.read() as session:
        occasions = Occasions(session, AFTER)
        assert (occasions.of_setup(setup) is not None) is counted
        assert (len(list(occasions)) == 1) is counted


def test_of_three_set_ups_the_second_may_have_been_given_up(sqlite_club: Database, now: datetime) -> None:
    with sqlite_club.write(now) as session:
        log = Logbook(session)
        for day in DAYS:
            for ordinal, count in ((1, 6), (2, 1), (3, 6)):
                arrivals(log, log.setup(day, ordinal=ordinal), day, count)
    assert set(on(sqlite_club, AFTER)) == {Step.SYNC_STARS}


def test_where_a_snag_says_why_a_set_up_was_given_up_it_counts_there_alone(
    sqlite_club: Database, now: datetime
) -> None:
    with sqlite_club.write(now) as session:
        log = Logbook(session)
        for day in DAYS:
            log.snag(log.setup(day), day, "battery flat", Step.POWER)
            log.setup(day, ordinal=2)
    assert set(on(sqlite_club, AFTER)) == {Step.POWER}


def test_set_ups_by_two_members_in_a_night_are_no_beginning_anew(
    sqlite_club: Database, now: datetime
) -> None:
    with sqlite_club.write(now) as session:
        for day in DAYS:
            Logbook(session).setup(day)
            Logbook(session, member="Ines").setup(day, ordinal=2)
    assert on(sqlite_club, AFTER) == {}


def snag_by(
    database: Database, now: datetime, day: date, *, mount: str | None, member: str | None, site: str | None
) -> None:
    """A snag of that day that belongs to no set-up."""
    with database.write(now) as session:
        session.add(
            Snag(
                at_utc=evening(day),
                step=Step.POWER,
                text="plug loose",
                equipment_id=by_name(session, Mount, mount).id if mount else None,
                member_id=by_name(session, Member, member).id if member else None,
                site_id=by_name(session, Site, site).id if site else None,
            )
        )


@pytest.mark.parametrize(
    ("mount", "member", "site", "nights"),
    [
        ("Heron", None, None, 2),  # of the set-up of that night
        (None, "Bram Ostler", None, 2),
        ("Heron", "Bram Ostler", "Mill Field", 2),
        ("Heron", "Ines", None, 4),  # of nights of its own, beside those of the set-ups
    ],
)
def test_a_snag_of_a_day_belongs_to_the_set_up_that_agrees_with_it_or_to_none(
    sqlite_club: Database, now: datetime, mount: str | None, member: str | None, site: str | None, nights: int
) -> None:
    with sqlite_club.write(now) as session:
        log = Logbook(session)
        for day in DAYS:
            log.setup(day)
    for day in DAYS:
        snag_by(sqlite_club, now, day, mount=mount, member=member, site=site)
    found = on(sqlite_club, AFTER)[Step.POWER]
    assert (found.wrong, found.nights) == (2, nights)


def test_the_last_snag_at_a_step_of_a_set_up_is_told_with_its_remedy(
    sqlite_club: Database, now: datetime
) -> None:
    with sqlite_club.write(now) as session:
        log = Logbook(session)
        for day in DAYS:
            setup = log.setup(day)
            log.snag(setup, day, "fuse blown", Step.POWER)
            session.flush()
            session.add(
                Snag(
                    at_utc=evening(day) + timedelta(hours=1), step=Step.POWER, text="battery flat",
                    setup_id=setup.id, equipment_id=setup.mount_id, remedy="charged", fixed_utc=now,
                )
            )  # fmt: skip
    found = on(sqlite_club, AFTER)[Step.POWER]
    assert (found.wrong, found.last_text, found.last_remedy) == (2, "battery flat", "charged")
    assert (found.last_night, found.evidence.split(" on ")[0]) == (DAYS[1], '"battery flat"')


def test_a_snag_says_more_than_a_tick_and_a_ticks_value_more_than_nothing(
    sqlite_club: Database, now: datetime
) -> None:
    for days_ago, step, value in (
        (9, Step.LEVEL, None),
        (3, Step.LEVEL, None),
        (9, Step.POWER, "11.2 V"),
        (3, Step.POWER, "11.2 V"),
    ):
        at_utc = now - timedelta(days=days_ago)
        tick_step(
            sqlite_club, step, "Heron", "Mill Field", at_utc, now, member_name="Bram Ostler", went_well=False,
            value=value,
        )  # fmt: skip
    found = on(sqlite_club, now.date())
    assert (found[Step.LEVEL].last_text, found[Step.POWER].last_text) == ("did not go well", "11.2 V")
    for days_ago in (9, 3):
        snag_by(
            sqlite_club,
            now,
            now.date() - timedelta(days=days_ago),
            mount="Heron",
            member="Bram Ostler",
            site="Mill Field",
        )
    found = on(sqlite_club, now.date())
    assert (found[Step.POWER].last_text, found[Step.POWER].wrong) == ("plug loose", 2)


def test_a_tick_of_which_nobody_said_how_it_went_is_no_fault(sqlite_club: Database, now: datetime) -> None:
    for days_ago in (9, 3):
        at_utc = now - timedelta(days=days_ago)
        tick_step(sqlite_club, Step.LEVEL, "Heron", "Mill Field", at_utc, now, went_well=None)
    assert on(sqlite_club, now.date()) == {}


def told(database: Database, night: date, member: str | None = "Bram Ostler") -> list[LookFirst]:
    return checklist(database, "Heron", "Mill Field", evening(night), member_name=member).look_first


def test_the_year_is_told_where_it_has_two_and_else_the_whole_record(
    sqlite_club: Database, now: datetime
) -> None:
    """Six nights a month apart: the plug was loose on the first, third and last; a year on the first are over."""
    days = [date(2025, 1, 10) + timedelta(days=30 * place) for place in range(6)]
    with sqlite_club.write(now) as session:
        log = Logbook(session)
        for place, day in enumerate(days):
            setup = log.setup(day)
            if place in (0, 2, 5):
                log.snag(setup, day, "plug loose", Step.POWER)
    (found,) = told(sqlite_club, days[5])
    assert found.evidence.startswith('"plug loose" on 3 of the last 6 nights')
    (found,) = told(sqlite_club, days[0] + timedelta(days=365))
    assert (found.wrong, found.nights) == (3, 6)  # the first night is a year ago, and counts
    (found,) = told(sqlite_club, days[0] + timedelta(days=366))
    assert (found.wrong, found.nights) == (2, 5)
    (found,) = told(sqlite_club, days[2] + timedelta(days=366))
    assert (found.wrong, found.nights) == (3, 6)  # one in the last year is no habit: of all that is known


def test_at_most_five_steps_are_told_each_once_and_the_likeliest_first(
    sqlite_club: Database, now: datetime
) -> None:
    steps = [Step.POWER, Step.LEVEL, Step.BALANCE, Step.HOME, Step.FINDER, Step.CABLES, Step.COOL]
    with sqlite_club.write(now) as session:
        log = Logbook(session)
        for number, day in enumerate([*DAYS, date(2026, 2, 15)]):
            setup = log.setup(day)
            for step in steps[: 7 if number < 2 else 1]:
                log.snag(setup, day, "it stuck", step)
    found = told(sqlite_club, AFTER)
    assert len(found) == 5
    assert len({one.step for one in found}) == 5
    assert found[0].step is Step.POWER
    chances = [one.probability for one in found]
    assert chances == sorted(chances, reverse=True)
    assert all(one.low < one.rate < one.high and one.worse_than == 0.08 for one in found)


def test_a_site_is_told_in_set_ups(sqlite_club: Database, now: datetime) -> None:
    """Two mounts and members, each with wet ground once: neither has a habit, the place has."""
    with sqlite_club.write(now) as session:
        for day, mount, member in ((DAYS[0], "Bracken", "Ines"), (DAYS[1], "Thistle", "Ines")):
            log = Logbook(session, mount, member)
            log.snag(log.setup(day), day, "wet ground", Step.GROUND)
    (found,) = told(sqlite_club, AFTER)
    assert (found.about, found.name) == ("site", "Mill Field")
    assert found.evidence == '"wet ground" on 2 of the last 2 set-ups at Mill Field'
