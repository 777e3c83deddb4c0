"""Where the arrivals of a night stood in the sky."""

from datetime import date, datetime, timedelta

import pytest

from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrivals import record_arrival
from obslog.club.night.night_pages import whole_night_of
from obslog.club.night.nights import start_night
from obslog.club.night.open_night import NightChoice, SetupChoice, chosen_night
from obslog.club.night.setups import start_setup
from obslog.club.pages.arrival_places import ArrivalPlace, places_in_sky
from obslog.records.database import Database
from obslog.vocabulary.arrivals import Role

NIGHT = date(2026, 3, 2)


def places(database: Database, site: str = "Mill Field") -> list[ArrivalPlace]:
    with database.read() as session:
        night, its_site = chosen_night(session, NightChoice(site, NIGHT))
        return places_in_sky(session, night, whole_night_of(session, night, its_site))


def test_the_pole_star_stands_as_high_as_the_latitude(evening: Database, now: datetime) -> None:
    """Polaris is 0.6° from the pole, Mill Field at 52.2° north."""
    record_arrival(evening, Role.SYNC, ArrivalEntry(target="Polaris"), SetupChoice(), now, sure=True)
    (polaris,) = places(evening)
    assert (polaris.mount, polaris.setup, polaris.number, polaris.at) == ("Heron", 1, 1, "21:40")
    assert polaris.az_deg is not None
    assert polaris.alt_deg == pytest.approx(52.2, abs=0.7)
    assert min(polaris.az_deg, 360 - polaris.az_deg) < 0.7 / 0.61  # cos 52.2°


def test_they_stand_in_the_order_of_their_set_ups_and_times(evening: Database, now: datetime) -> None:
    start_setup(evening, "Bracken", now - timedelta(hours=1))
    for mount, target, minutes in (
        ("Heron", "Capella", 5),
        ("Bracken", "Regulus", 9),
        ("Heron", "Pollux", 20),
    ):
        entry = ArrivalEntry(target=target)
        at = now - timedelta(minutes=minutes)
        record_arrival(evening, Role.GOTO, entry, SetupChoice(mount), at, sure=True)
    assert [(one.mount, one.target) for one in places(evening)] == [
        ("Bracken", "Regulus"),
        ("Heron", "Pollux"),
        ("Heron", "Capella"),
    ]


def test_another_site_on_the_same_date_is_another_night(evening: Database, now: datetime) -> None:
    record_arrival(evening, Role.GOTO, ArrivalEntry(target="Capella"), SetupChoice(), now, sure=True)
    start_night(evening, "Kestrel Ridge", now, night=NIGHT)
    assert places(evening, "Kestrel Ridge") == []
