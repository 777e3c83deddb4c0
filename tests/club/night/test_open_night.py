"""Which night is meant where none is named."""

from datetime import date, datetime
from uuid import UUID

import pytest
from sqlalchemy import insert

from obslog.club.night.nights import end_night, start_night
from obslog.club.night.open_night import NightChoice, WhichOne, chosen_night
from obslog.records.name_lookup import by_name
from obslog.records.opening import Database
from obslog.records.tables.logbook_tables import Night, Site

EARLIER, LATER = date(2026, 2, 1), date(2026, 2, 8)


def closed_night(database: Database, site: str, night: date, now: datetime) -> None:
    start_night(database, site, now, night=night)
    end_night(database, NightChoice(site=site, night=night), now)


def meant(database: Database) -> tuple[str, date]:
    with database.read() as session:
        night, site = chosen_night(session, NightChoice())
        return site.name, night.night_of


@pytest.mark.parametrize("keys", [(1, 2), (2, 1)])
@pytest.mark.parametrize("sites", [("Mill Field", "Kestrel Ridge"), ("Kestrel Ridge", "Mill Field")])
def test_of_two_nights_on_the_newest_date_the_one_with_the_newest_key_is_meant(
    club: Database, now: datetime, sites: tuple[str, str], keys: tuple[int, int]
) -> None:
    """Keys grow with time; rows may have come in another order, from another laptop's file."""
    closed_night(club, "Mill Field", EARLIER, now)
    with club.write(now) as session:
        for site, key in zip(sites, keys, strict=True):
            site_id = by_name(session, Site, site).id
            session.execute(
                insert(Night).values(id=UUID(int=key), site_id=site_id, night_of=LATER, open=False)
            )
    assert meant(club) == (dict(zip(keys, sites, strict=True))[2], LATER)


def test_the_open_night_comes_before_a_newer_one_and_of_two_open_ones_one_must_be_named(
    club: Database, now: datetime
) -> None:
    closed_night(club, "Mill Field", LATER, now)
    start_night(club, "Kestrel Ridge", now, night=EARLIER)
    assert meant(club) == ("Kestrel Ridge", EARLIER)
    start_night(club, "Mill Field", now, night=EARLIER)
    with pytest.raises(WhichOne, match="Kestrel Ridge"):
        meant(club)
