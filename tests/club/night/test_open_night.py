"""Which night and which set-up is meant: what was named, else the open one, else where asked the newest."""

from datetime import date, datetime, timedelta
from uuid import UUID

import pytest
from sqlalchemy import insert

from obslog.club.night.nights import end_night, start_night
from obslog.club.night.open_night import (
    NightChoice,
    NightIsOver,
    NoOpenNight,
    NoOpenSetup,
    NoSuchNight,
    SetupChoice,
    WhichOne,
    chosen_night,
    chosen_setup,
    instant_in_night,
    open_setup,
)
from obslog.club.night.setups import start_setup
from obslog.grammar.typed_times import OutsideNight
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Night, Site
from obslog.times import FutureTime


def night_of(database: Database, choice: NightChoice, *, must_be_open: bool = False) -> tuple[date, str]:
    with database.read() as session:
        night, site = chosen_night(session, choice, must_be_open=must_be_open)
        return night.night_of, site.name


def test_a_named_night_goes_before_the_open_one_and_that_before_the_newest(
    club: Database, now: datetime
) -> None:
    with pytest.raises(NoSuchNight):
        night_of(club, NightChoice())
    start_night(club, "Mill Field", now, night=date(2026, 2, 1))
    end_night(club, NightChoice(), now)
    start_night(club, "Kestrel Ridge", now, night=date(2026, 1, 1))
    assert night_of(club, NightChoice()) == (date(2026, 1, 1), "Kestrel Ridge")
    assert night_of(club, NightChoice(night=date(2026, 2, 1))) == (date(2026, 2, 1), "Mill Field")
    end_night(club, NightChoice(), now)
    assert night_of(club, NightChoice()) == (date(2026, 2, 1), "Mill Field")
    with pytest.raises(NoOpenNight):
        night_of(club, NightChoice(), must_be_open=True)


def test_of_several_that_fit_one_has_to_be_chosen(evening: Database, now: datetime) -> None:
    start_night(evening, "Kestrel Ridge", now)
    with pytest.raises(WhichOne, match="Several nights fit") as caught:
        night_of(evening, NightChoice())
    assert caught.value.hint == "Choose one: --site SITE"
    start_setup(evening, "Bracken", now, site="Mill Field")
    with evening.read() as session:
        with pytest.raises(WhichOne, match="Several set-ups fit"):
            open_setup(session, None)
        assert chosen_setup(session, SetupChoice(mount="bracken")).mount.name == "Bracken"


def test_of_set_ups_of_one_mount_in_one_night_the_last_is_meant(evening: Database, now: datetime) -> None:
    start_setup(evening, "Heron", now)
    past = date(2026, 3, 2)
    with evening.read() as session:
        assert chosen_setup(session, SetupChoice(night=past)).setup.ordinal == 2
        assert chosen_setup(session, SetupChoice(night=past, ordinal=1)).setup.ordinal == 1


def test_the_newest_set_up_is_taken_only_where_that_was_asked(evening: Database, now: datetime) -> None:
    end_night(evening, NightChoice(), now)
    with evening.read() as session:
        assert open_setup(session, None) is None
        with pytest.raises(NoOpenSetup):
            chosen_setup(session, SetupChoice())
        assert chosen_setup(session, SetupChoice(), or_newest=True).mount.name == "Heron"


def test_a_time_is_of_the_night_and_not_to_come(evening: Database, now: datetime) -> None:
    with evening.read() as session:
        night, site = chosen_night(session, NightChoice())
        assert instant_in_night(None, night, site, now) == now
        assert instant_in_night("20:15", night, site, now) == now.replace(hour=20, minute=15)
        with pytest.raises(FutureTime):
            instant_in_night("23:30", night, site, now)
        with pytest.raises(OutsideNight):
            instant_in_night("2026-03-01T20:00:00Z", night, site, now)
        with pytest.raises(NightIsOver):
            instant_in_night(None, night, site, now + timedelta(days=1))


@pytest.mark.parametrize("keys", [(1, 2), (2, 1)])
@pytest.mark.parametrize("sites", [("Mill Field", "Kestrel Ridge"), ("Kestrel Ridge", "Mill Field")])
def test_of_two_nights_on_the_newest_date_the_one_with_the_newest_key_is_meant(
    club: Database, now: datetime, sites: tuple[str, str], keys: tuple[int, int]
) -> None:
    """Keys grow with time; rows may have come in another order, from another laptop's file."""
    with club.write(now) as session:
        for site, key in zip(sites, keys, strict=True):
            site_id = by_name(session, Site, site).id
            session.execute(
                insert(Night).values(id=UUID(int=key), site_id=site_id, night_of=date(2026, 2, 8), open=False)
            )
    assert night_of(club, NightChoice()) == (date(2026, 2, 8), dict(zip(keys, sites, strict=True))[2])
