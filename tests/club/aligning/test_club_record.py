"""What the records say of a club's mistakes: counted from snags and first stars, kept, and in no order of asking."""

from datetime import date, datetime, timedelta

from sqlalchemy import func, select, update

from obslog.club.aligning.club_record import FIRST_STAR_MISTAKES, read_club_record
from obslog.club.aligning.first_star_mistakes import ClubRecord, FirstMiss, causes_of_miss
from obslog.club.aligning.past_mistakes import Mistake
from obslog.club.register.observing_site import observing_site
from obslog.records.database import Database
from obslog.records.tables.kept import kept_results
from obslog.records.tables.logbook_tables import Arrival, Site
from obslog.vocabulary.mistakes import Cause
from obslog.vocabulary.steps import Step
from tests.club.checklist.test_look_first import Logbook, evening

NIGHT, NEXT, LATER = date(2026, 2, 1), date(2026, 2, 2), date(2026, 2, 14)
AN_HOUR_WEST_ARCMIN = -10.42 * 60
"""A controller an hour out misses by 15 deg x cos(declination): 10.4 deg for Capella at +46.0 deg."""


def record_of(database: Database) -> ClubRecord:
    with database.read() as session:
        return read_club_record(session)


def note(database: Database, now: datetime, day: date, east_arcmin: float, *snags: str) -> None:
    with database.write(now) as session:
        log = Logbook(session)
        setup = log.setup(day)
        log.arrival(setup, day, offset_east_arcmin=east_arcmin, offset_north_arcmin=6.0)
        for text in snags:
            log.snag(setup, day, text)


def chances(database: Database, day: date) -> dict[Cause, float]:
    view = observing_site(database, "Mill Field")
    miss = FirstMiss(star="Capella", east_deg=AN_HOUR_WEST_ARCMIN / 60, north_deg=0.1)
    found = causes_of_miss(record_of(database), view, evening(day), [miss])
    return {one.cause: one.probability for one in found}


def test_a_club_with_no_past_is_judged_as_by_common_practice(club: Database, now: datetime) -> None:
    record = record_of(club)
    assert record.past.mistakes == ()
    assert not record.past.before(NIGHT).setups
    before = chances(club, NIGHT)
    view = observing_site(club, "Mill Field")
    miss = FirstMiss(star="Capella", east_deg=AN_HOUR_WEST_ARCMIN / 60, north_deg=0.1)
    plain = causes_of_miss(ClubRecord(record.sites), view, evening(NIGHT), [miss])
    assert before == {one.cause: one.probability for one in plain}


def test_a_first_star_an_hour_out_and_a_snag_of_the_same_night_are_one_mistake(
    club: Database, now: datetime
) -> None:
    note(club, now, NIGHT, AN_HOUR_WEST_ARCMIN, "summer time was off")
    note(club, now, NEXT, 12.0, "the clock was slow")
    past = record_of(club).past
    assert set(past.mistakes) == {Mistake(NIGHT, Cause.SUMMER_TIME), Mistake(NEXT, Cause.CLOCK)}
    told = past.before(LATER)
    assert dict(told.counts) == {Cause.SUMMER_TIME: 1, Cause.CLOCK: 1}
    assert told.setups == 2


def test_a_snag_without_a_set_up_belongs_to_the_night_of_its_evening(club: Database, now: datetime) -> None:
    from obslog.club.night.snags import add_snag

    after_midnight = evening(NIGHT) + timedelta(hours=4)
    add_snag(club, Step.KEY_IN, "the clock was slow", after_midnight, mount="Heron", site="Mill Field")
    assert record_of(club).past.mistakes == (Mistake(NIGHT, Cause.CLOCK),)


def test_a_snag_counts_where_a_mistake_is_made_or_seen_and_at_the_clubs_own_steps(
    club: Database, now: datetime
) -> None:
    counted = {
        Step.KEY_IN,
        Step.HOME,
        Step.LEVEL,
        Step.POLAR_AXIS,
        Step.SYNC_STARS,
        Step.CENTRE,
        Step.VERIFY,
        "clamp",
    }
    for place, step in enumerate([*Step, "clamp"]):
        with club.write(now) as session:
            log = Logbook(session)
            day = NIGHT + timedelta(days=place)
            log.snag(log.setup(day), day, f"{step}: the clock was slow", step)
    nights = {NIGHT + timedelta(days=place) for place, step in enumerate([*Step, "clamp"]) if step in counted}
    assert set(record_of(club).past.mistakes) == {Mistake(night, Cause.CLOCK) for night in nights}


def test_only_the_first_star_of_a_set_up_and_only_one_that_was_measured_counts(
    club: Database, now: datetime
) -> None:
    with club.write(now) as session:
        log = Logbook(session)
        first, second = log.setup(NIGHT), log.setup(NEXT)
        log.arrival(first, NIGHT)
        later = {"at_utc": evening(NIGHT) + timedelta(minutes=9), "target": "Vega"}
        log.arrival(first, NIGHT, offset_east_arcmin=AN_HOUR_WEST_ARCMIN, offset_north_arcmin=0.0, **later)
        log.arrival(second, NEXT, offset_east_arcmin=3.0, offset_north_arcmin=4.0)
    past = record_of(club).past
    assert past.mistakes == ()
    assert past.before(LATER).setups == 1


def test_past_nights_move_what_is_answered_and_the_same_night_does_not(club: Database, now: datetime) -> None:
    before = chances(club, LATER)
    for day in range(8):
        note(club, now, NIGHT + timedelta(days=day), 2.0, "the clock was slow")
    assert chances(club, LATER)[Cause.CLOCK] > 2 * before[Cause.CLOCK]
    moved = chances(club, LATER)
    note(club, now, LATER, AN_HOUR_WEST_ARCMIN, "summer time was off")
    assert chances(club, LATER) == moved
    assert chances(club, LATER + timedelta(days=1)) != moved


def test_no_answer_depends_on_what_was_asked_before(club: Database, now: datetime) -> None:
    """Whether a night in between was asked about while the records grew, or all at the end: the same answers."""
    days = [NIGHT + timedelta(days=7 * place) for place in range(5)]
    for day in days:
        note(club, now, day, AN_HOUR_WEST_ARCMIN)
        chances(club, day + timedelta(days=1))
    asked = {day: chances(club, day) for day in [*days, LATER + timedelta(days=90)]}
    with club.write(now) as session:
        session.execute(kept_results.delete())
    again = {day: chances(club, day) for day in reversed([*days, LATER + timedelta(days=90)])}
    assert asked == again
    # each later night is judged by more nights of the same mistake
    assert asked[days[1]][Cause.SUMMER_TIME] < asked[days[4]][Cause.SUMMER_TIME]


def test_what_first_stars_were_is_kept_until_one_or_a_site_changes(club: Database, now: datetime) -> None:
    note(club, now, NIGHT, AN_HOUR_WEST_ARCMIN)

    def kept() -> list[str]:
        record_of(club)
        with club.read() as session:
            query = select(kept_results.c.fingerprint).where(kept_results.c.kind == FIRST_STAR_MISTAKES)
            return list(session.scalars(query))

    (first,) = kept()
    assert kept() == [first]
    with club.write(now) as session:
        session.execute(update(Arrival).values(offset_east_arcmin=AN_HOUR_WEST_ARCMIN / 2))
    (second,) = kept()
    assert record_of(club).past.mistakes == ()
    with club.write(now) as session:
        assert session.scalar(select(func.count(Site.id)))
        session.execute(update(Site).where(Site.name == "Mill Field").values(lon_deg=7.0))
    (third,) = kept()
    assert len({first, second, third}) == 3
