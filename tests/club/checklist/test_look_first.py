"""Where to look first: what is learned from snags, ticks and arrivals, when it comes to the top and when it leaves."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.checklist.checklist import checklist
from obslog.club.checklist.look_first import LookFirst
from obslog.club.checklist.step_ticks import tick_step
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Arrival, Member, Mount, Night, Setup, Site, Snag
from obslog.vocabulary.arrivals import Landing, Role
from obslog.vocabulary.steps import Step, StepKey

CLOCK_CHANGE = date(2026, 3, 29)  # summer time began in Britain on the last Sunday of March


@dataclass
class Logbook:
    """Writes set-ups of one mount and member into a database."""

    session: Session
    mount: str = "Heron"
    member: str = "Bram Ostler"

    def setup(self, day: date, ordinal: int = 1) -> Setup:
        site = self.session.scalars(select(Site).where(Site.name == "Mill Field")).one()
        query = select(Night).where(Night.site_id == site.id, Night.night_of == day)
        night = self.session.scalars(query).one_or_none() or Night(site_id=site.id, night_of=day)
        self.session.add(night)
        self.session.flush()
        mount = self.session.scalars(select(Mount).where(Mount.name == self.mount)).one()
        member = self.session.scalars(select(Member).where(Member.name == self.member)).one()
        setup = Setup(night_id=night.id, mount_id=mount.id, member_id=member.id, ordinal=ordinal)
        self.session.add(setup)
        self.session.flush()
        return setup

    def snag(self, setup: Setup, day: date, text: str, step: StepKey = Step.KEY_IN) -> None:
        self.session.add(
            Snag(
                at_utc=evening(day), step=step, text=text, setup_id=setup.id, equipment_id=setup.mount_id,
                member_id=setup.member_id,
            )
        )  # fmt: skip

    def arrival(self, setup: Setup, day: date, **columns: object) -> None:
        values: dict[str, object] = {"role": Role.SYNC, "target": "Capella", "at_utc": evening(day)}
        self.session.add(Arrival(setup_id=setup.id, **{**values, **columns}))  # type: ignore[arg-type]


def evening(day: date) -> datetime:
    return datetime(day.year, day.month, day.day, 21, tzinfo=UTC)


def on(database: Database, day: date, member: str | None = "Bram Ostler") -> dict[StepKey, LookFirst]:
    made = checklist(database, "Heron", "Mill Field", evening(day), member_name=member)
    assert [step.order for step in made.steps] == list(range(1, len(made.steps) + 1))
    return {one.step: one for one in made.look_first}


@pytest.mark.parametrize("every_days", [10, 14, 30])
def test_the_year_of_one_who_forgets_summer_time(
    sqlite_club: Database, now: datetime, every_days: int
) -> None:
    # Bram's nights from half a year before the clocks change to a year after; he forgets on the first two of summer.
    first = CLOCK_CHANGE - timedelta(days=180)
    days = [first + timedelta(days=n) for n in range(0, 180 + 440, every_days)]
    summer = [day for day in days if day >= CLOCK_CHANGE]
    forgot, mended = summer[:2], summer[1]
    with sqlite_club.write(now) as session:
        bram, ada = Logbook(session), Logbook(session, "Bracken", "Ines")
        for day in days:
            setup = bram.setup(day)
            ada.setup(day)
            if day in forgot:
                bram.snag(setup, day, "summer time was off, first star 15 degrees out")
    assert on(sqlite_club, CLOCK_CHANGE - timedelta(days=1)) == {}
    after_two = on(sqlite_club, mended + timedelta(days=1))[Step.KEY_IN]
    nights = sum(day <= mended for day in days)
    assert after_two.evidence.startswith(f"summer time wrong on 2 of the last {nights} nights with ")
    assert (after_two.wrong, after_two.nights) == (2, nights)
    assert after_two.low < after_two.rate < after_two.high
    assert after_two.probability > 0.5
    assert on(sqlite_club, mended + timedelta(days=370)) == {}
    made = checklist(sqlite_club, "Bracken", "Mill Field", evening(mended), member_name="Ines")
    assert [one for one in made.look_first if one.about != "site"] == []


def test_one_bad_night_is_no_habit(sqlite_club: Database, now: datetime) -> None:
    day = date(2026, 2, 1)
    with sqlite_club.write(now) as session:
        log = Logbook(session)
        log.snag(log.setup(day), day, "summer time was off")
    assert on(sqlite_club, day + timedelta(days=5)) == {}


def test_what_comes_later_is_not_known_yet(sqlite_club: Database, now: datetime) -> None:
    days = [date(2026, 2, 1), date(2026, 2, 5)]
    with sqlite_club.write(now) as session:
        log = Logbook(session)
        for day in days:
            log.snag(log.setup(day), day, "battery flat", Step.POWER)
    assert on(sqlite_club, date(2026, 2, 4)) == {}
    assert on(sqlite_club, date(2026, 2, 6))[Step.POWER].evidence == (
        '"battery flat" on 2 of the last 2 nights with Heron'
    )


def test_two_mounts_of_one_night_are_not_told_to_be_two_nights(sqlite_club: Database, now: datetime) -> None:
    """Bram sets up two mounts on each of two evenings, and the battery is flat on both with the first: two of four."""
    days = [date(2026, 2, 1), date(2026, 2, 5)]
    with sqlite_club.write(now) as session:
        heron, bracken = Logbook(session, member="Bram Ostler"), Logbook(session, mount="Bracken")
        for day in days:
            heron.snag(heron.setup(day), day, "battery flat", Step.POWER)
            bracken.setup(day)
    made = checklist(
        sqlite_club, "Bracken", "Kestrel Ridge", evening(date(2026, 2, 6)), member_name="Bram Ostler"
    )
    assert [one.evidence for one in made.look_first] == [
        '"battery flat" on 2 of the last 4 set-ups with Bram Ostler'
    ]


def test_only_ticks_that_went_wrong_count(club: Database, now: datetime) -> None:
    for hours, step, well in (
        (0, Step.LEVEL, False),
        (24, Step.LEVEL, False),
        (0, Step.HOME, True),
        (24, Step.HOME, True),
    ):
        at_utc = now - timedelta(hours=48 - hours)
        tick_step(club, step, "Heron", "Mill Field", at_utc, now, member_name="Bram Ostler", went_well=well)
    found = on(club, now.date())
    assert set(found) == {Step.LEVEL}
    assert (found[Step.LEVEL].wrong, found[Step.LEVEL].nights) == (2, 2)


@pytest.mark.parametrize("landing", [Landing.LOST, None])
def test_first_stars_far_out_are_found_in_the_arrivals(
    sqlite_club: Database, now: datetime, landing: Landing | None
) -> None:
    # A controller an hour out misses by 15 deg x cos(declination): 10.4 deg for Capella at +46.0 deg.
    where = (
        {"landing": landing} if landing else {"offset_east_arcmin": -10.42 * 60, "offset_north_arcmin": 6.0}
    )
    days = [date(2026, 2, 1), date(2026, 2, 8)]
    with sqlite_club.write(now) as session:
        log = Logbook(session)
        for day in days:
            log.arrival(log.setup(day), day, **where)
    found = on(sqlite_club, date(2026, 2, 20))[Step.KEY_IN]
    words = "first star not found" if landing else "summer time wrong"
    assert found.evidence.startswith(f"{words} on 2 of the last 2 nights with ")


def test_an_ordinary_first_star_says_nothing(sqlite_club: Database, now: datetime) -> None:
    with sqlite_club.write(now) as session:
        log = Logbook(session)
        for day in (date(2026, 2, 1), date(2026, 2, 8)):
            log.arrival(log.setup(day), day, offset_east_arcmin=70.0, offset_north_arcmin=-40.0)
    assert on(sqlite_club, date(2026, 2, 20)) == {}


def test_a_setup_given_up_and_begun_again_counts_against_the_stars(
    sqlite_club: Database, now: datetime
) -> None:
    with sqlite_club.write(now) as session:
        log = Logbook(session)
        for day in (date(2026, 2, 1), date(2026, 2, 8)):
            log.setup(day)
            log.setup(day, ordinal=2)
    found = on(sqlite_club, date(2026, 2, 20))
    assert set(found) == {Step.SYNC_STARS}
    assert found[Step.SYNC_STARS].evidence.startswith("given up and set up again on 2 of the last 2 nights")


def test_landings_far_out_are_the_mounts_or_the_members_never_the_sites(
    sqlite_club: Database, now: datetime
) -> None:
    with sqlite_club.write(now) as session:
        log = Logbook(session)
        for day in (date(2026, 2, 1), date(2026, 2, 8)):
            setup = log.setup(day)
            log.arrival(setup, day, offset_east_arcmin=0.0, offset_north_arcmin=0.0)
            for minute in range(1, 9):
                at_utc = evening(day) + timedelta(minutes=minute)
                log.arrival(
                    setup,
                    day,
                    role=Role.GOTO,
                    at_utc=at_utc,
                    offset_east_arcmin=80.0,
                    offset_north_arcmin=60.0,
                )
    found = on(sqlite_club, date(2026, 2, 20))
    assert found[Step.VERIFY].evidence.startswith("go-tos landed far out on 2 of the last 2 nights with ")
    elsewhere = checklist(sqlite_club, "Bracken", "Mill Field", evening(date(2026, 2, 20)))
    assert elsewhere.look_first == []


def test_a_snag_without_a_setup_belongs_to_the_night_of_its_day(sqlite_club: Database, now: datetime) -> None:
    days = [date(2026, 2, 1), date(2026, 2, 8)]
    with sqlite_club.write(now) as session:
        log = Logbook(session)
        for day in days:
            setup = log.setup(day)
            session.add(
                Snag(at_utc=evening(day), step=Step.POWER, text="plug loose", equipment_id=setup.mount_id)
            )
    found = on(sqlite_club, date(2026, 2, 20))[Step.POWER]
    assert (found.about, found.wrong, found.nights) == ("mount", 2, 2)
