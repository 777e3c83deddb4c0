"""Nights are opened and closed, and gather who was there and what the sky was like."""

from datetime import UTC, date, datetime, timedelta

import pytest

from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrivals import record_arrival
from obslog.club.night.night_pages import list_nights, show_night
from obslog.club.night.nights import EndsBeforeSetup, EndsTooEarly, end_night, note_night, start_night
from obslog.club.night.observations import ObservationEntry, record_observations
from obslog.club.night.open_night import (
    NightChoice,
    NightIsOver,
    NoOpenNight,
    SetupChoice,
    WhichOne,
)
from obslog.club.night.setups import show_setup, start_setup
from obslog.club.register import named_records
from obslog.club.register.observing_site import SiteWithoutZone
from obslog.errors import UnknownName
from obslog.fields import UnusableText
from obslog.grammar.sky_readings import read_sky
from obslog.grammar.typed_times import AmbiguousTime, OutsideNight
from obslog.records.database import Database
from obslog.times import FutureTime
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.observations import Sighting
from obslog.vocabulary.sky_scales import SkyScale

OPEN = NightChoice()


def test_a_night_does_not_end_before_its_last_entry(club: Database, now: datetime) -> None:
    start_night(club, "Mill Field", now)
    start_setup(club, "Heron", now, tube="Long tube", observer="Ines")
    record_arrival(club, Role.SYNC, ArrivalEntry(target="Vega"), SetupChoice(), now)
    with pytest.raises(EndsTooEarly, match="21:40"):
        end_night(club, NightChoice(), now, at="20:30")
    assert end_night(club, NightChoice(), now, at="21:40").ended == "21:40"


def test_a_night_has_the_date_of_its_evening_also_after_midnight(club: Database, now: datetime) -> None:
    page = start_night(club, "mill field", now + timedelta(hours=5))
    assert (page.night, page.site, page.open, page.started) == (
        date(2026, 3, 2),
        "Mill Field",
        True,
        "02:40",
    )


def test_the_night_is_that_of_the_sites_own_clock(club: Database) -> None:
    # 10:30 UTC is 12:30 in South Africa, where the next night has begun, but still morning in England.
    morning = datetime(2026, 3, 3, 10, 30, tzinfo=UTC)
    assert start_night(club, "Kestrel Ridge", morning).night == date(2026, 3, 3)
    assert start_night(club, "Mill Field", morning).night == date(2026, 3, 2)


def test_a_night_at_an_unknown_site_is_refused_with_the_nearest(club: Database, now: datetime) -> None:
    with pytest.raises(UnknownName) as caught:
        start_night(club, "Mill Feild", now)
    assert "Did you mean Mill Field?" in caught.value.hint


def test_names_may_stand_with_commas_between_and_a_whole_name_goes_before(
    club: Database, now: datetime
) -> None:
    assert start_night(club, "Mill Field", now, present=["ines, Bram Ostler"]).present == [
        "Bram Ostler",
        "Ines",
    ]
    named_records.add(club, "member", "Wilga, Tomasz", {}, now)
    later = now + timedelta(hours=1)
    assert "Wilga, Tomasz" in start_night(club, "Mill Field", later, present=["wilga, tomasz"]).present
    with pytest.raises(UnknownName, match="Nobody"):
        start_night(club, "Mill Field", later, present=["Ines, Nobody"])


def test_a_site_without_a_zone_has_no_nights_yet(club: Database, now: datetime) -> None:
    named_records.add(club, "site", "Somewhere", {}, now)
    with pytest.raises(SiteWithoutZone, match="Somewhere"):
        start_night(club, "Somewhere", now)
    assert list_nights(club) == []


def test_a_future_night_is_refused(club: Database, now: datetime) -> None:
    with pytest.raises(FutureTime, match="2026-03-03 12:00 UTC has not come yet"):
        start_night(club, "Mill Field", now, night=date(2026, 3, 3))
    assert list_nights(club) == []


def test_a_past_night_may_be_typed_in_later(club: Database, now: datetime) -> None:
    page = start_night(club, "Mill Field", now, night=date(2026, 2, 20))
    assert (page.night, page.open, page.started) == (date(2026, 2, 20), True, "")


def test_starting_a_night_again_opens_it_again_and_keeps_what_it_holds(club: Database, now: datetime) -> None:
    start_night(club, "Mill Field", now, present=["Ines"], note="frost")
    end_night(club, OPEN, now + timedelta(hours=1))
    page = start_night(club, "Mill Field", now + timedelta(hours=2), present=["Ines", "Bram Ostler"])
    assert (page.open, page.present, page.note, page.started) == (
        True,
        ["Bram Ostler", "Ines"],
        "frost",
        "21:40",
    )
    assert len(list_nights(club)) == 1


def test_a_new_night_ends_the_one_that_was_left_open_there(club: Database, now: datetime) -> None:
    start_night(club, "Mill Field", now)
    start_setup(club, "Heron", now)
    start_night(club, "Mill Field", now + timedelta(days=1))
    nights = list_nights(club)
    assert [(night.night, night.open) for night in nights] == [
        (date(2026, 3, 3), True),
        (date(2026, 3, 2), False),
    ]
    assert not show_setup(club, SetupChoice(mount="Heron")).open
    assert show_night(club, NightChoice(night=date(2026, 3, 2))).ended == ""  # nobody knows when


def test_an_open_night_elsewhere_stays_open(club: Database, now: datetime) -> None:
    start_night(club, "Mill Field", now)
    start_night(club, "Kestrel Ridge", now)
    assert [night.open for night in list_nights(club)] == [True, True]
    with pytest.raises(WhichOne, match=r"Mill Field.*Kestrel Ridge"):
        end_night(club, OPEN, now)
    assert not end_night(club, NightChoice(site="Kestrel Ridge"), now).open


def test_ending_a_night_ends_its_setups(evening: Database, now: datetime) -> None:
    page = end_night(evening, OPEN, now, note="clouds")
    assert (page.open, page.ended, page.note) == (False, "21:40", "clouds")
    assert [setup.open for setup in page.setups] == [False]
    with pytest.raises(NoOpenNight):
        end_night(evening, OPEN, now)


def test_a_night_ends_at_the_time_that_is_given(evening: Database, now: datetime) -> None:
    assert end_night(evening, OPEN, now, at="21:05").ended == "21:05"


def test_a_night_does_not_end_in_the_future_or_in_another_night(evening: Database, now: datetime) -> None:
    with pytest.raises(FutureTime):
        end_night(evening, OPEN, now, at="23:30")
    with pytest.raises(OutsideNight):
        end_night(evening, OPEN, now, at="2026-03-01T21:00:00Z")
    assert show_night(evening, OPEN).open


def test_a_night_that_is_ended_the_next_evening_ended_nobody_knows_when(
    evening: Database, now: datetime
) -> None:
    page = end_night(evening, OPEN, now + timedelta(days=1))
    assert (page.open, page.ended) == (False, "")


def test_a_time_that_came_twice_is_refused_as_the_end_of_a_night(club: Database) -> None:
    # The clocks of London went back at 01:00 UTC on 25 October 2026.
    midnight = datetime(2026, 10, 24, 23, tzinfo=UTC)
    start_night(club, "Mill Field", midnight)
    with pytest.raises(AmbiguousTime, match="01:30"):
        end_night(club, OPEN, midnight + timedelta(hours=4), at="01:30")
    assert end_night(club, OPEN, midnight + timedelta(hours=4), at="00:30Z").ended == "01:30"


def test_a_night_past_its_noon_takes_nothing_without_a_time(evening: Database, now: datetime) -> None:
    with pytest.raises(NightIsOver, match="2026-03-02 at Mill Field") as caught:
        start_setup(evening, "Bracken", now + timedelta(hours=15))
    assert "--at 21:40" in caught.value.hint
    assert start_setup(evening, "Bracken", now + timedelta(hours=15), at="22:10").started == "22:10"


def test_notes_people_and_readings_are_added_to_a_night(evening: Database, now: datetime) -> None:
    note_night(evening, OPEN, now, present=["Bram Ostler", "ines"], sky=[read_sky("antoniadi 2")], note="dew")
    page = note_night(evening, OPEN, now, sky=[read_sky("sky-meter 21.3")], note="fox")
    assert page.present == ["Bram Ostler", "Ines"]
    assert [(line.scale, line.value, line.at, line.at_utc) for line in page.sky] == [
        (SkyScale.ANTONIADI, 2.0, "21:40", now),
        (SkyScale.SKY_METER, 21.3, "21:40", now),
    ]
    assert page.note == "dew\nfox"
    assert show_night(evening, OPEN) == page


def test_an_unknown_person_leaves_the_night_as_it_was(evening: Database, now: datetime) -> None:
    before = show_night(evening, OPEN)
    with pytest.raises(UnknownName):
        note_night(evening, OPEN, now, present=["Bram Ostler", "Nobody"], note="dew")
    assert show_night(evening, OPEN) == before


def test_a_note_too_long_to_be_kept_is_refused(evening: Database, now: datetime) -> None:
    before = show_night(evening, OPEN)
    with pytest.raises(UnusableText, match="The note has 1 to 4000 characters"):
        note_night(evening, OPEN, now, note="x" * 4001)
    assert show_night(evening, OPEN) == before


def test_the_end_is_told_to_the_minute_so_an_entry_of_that_minute_is_not_after_it(
    evening: Database, now: datetime
) -> None:
    record_arrival(evening, Role.SYNC, ArrivalEntry(target="Vega"), SetupChoice(), now)  # 21:40
    with pytest.raises(EndsTooEarly, match=r"The night cannot end at 21:38: its last entry is of 21:40"):
        end_night(evening, OPEN, now, at="21:38")
    assert end_night(evening, OPEN, now, at="21:39").ended == "21:39"


def test_a_night_does_not_end_before_a_set_up_of_it_began(club: Database, now: datetime) -> None:
    start_night(club, "Mill Field", now)
    start_setup(club, "Heron", now, at="20:10")
    start_setup(club, "Bracken", now, at="20:40")
    with pytest.raises(EndsBeforeSetup) as caught:
        end_night(club, OPEN, now, at="20:15")
    assert caught.value.message == "The end cannot be at 20:15: the set-up of Bracken began at 20:40."
    assert caught.value.hint.endswith("obslog setup edit Bracken --start TIME")
    assert end_night(club, OPEN, now, at="20:40").ended == "20:40"


def test_an_observation_is_an_entry_too(evening: Database, now: datetime) -> None:
    seen = ObservationEntry(sighting=Sighting.SEEN, at="21:30")
    record_arrival(evening, Role.SYNC, ArrivalEntry(target="Vega", at="20:30"), SetupChoice(), now)
    record_observations(evening, "M 81", seen, now)
    with pytest.raises(EndsTooEarly, match="its last entry is of 21:30"):
        end_night(evening, OPEN, now, at="21:00")
    assert end_night(evening, OPEN, now, at="21:30").ended == "21:30"


def test_what_was_seen_or_pointed_at_in_another_night_does_not_hold_this_one_open(
    evening: Database, now: datetime
) -> None:
    """At Kestrel Ridge, two hours ahead by the clock, the same evening."""
    ridge = NightChoice("Kestrel Ridge")
    start_night(evening, "Kestrel Ridge", now)
    start_setup(evening, "Bracken", now, site="Kestrel Ridge")
    record_arrival(evening, Role.SYNC, ArrivalEntry(target="Sirius"), SetupChoice(mount="Bracken"), now)
    seen = ObservationEntry(sighting=Sighting.SEEN)
    record_observations(evening, "M 42", seen, now, mount="Bracken", sure=True)
    page = end_night(evening, NightChoice("Mill Field"), now, at="20:00")
    assert (page.ended, [setup.open for setup in page.setups]) == ("20:00", [False])
    there = show_night(evening, ridge)
    assert (there.open, [setup.open for setup in there.setups]) == (True, [True])


def test_a_night_typed_in_later_ended_when_it_is_said_or_nobody_knows(club: Database, now: datetime) -> None:
    last_week = date(2026, 2, 23)
    start_night(club, "Mill Field", now, night=last_week)
    assert end_night(club, OPEN, now).ended == ""
    start_night(club, "Mill Field", now, night=last_week)
    assert end_night(club, OPEN, now, at="23:10").ended == "23:10"


def test_people_are_there_once_and_the_first_note_stays_until_there_is_another(
    club: Database, now: datetime
) -> None:
    start_night(club, "Mill Field", now, present=["Ines", "ines"], note="frost")
    page = start_night(club, "Mill Field", now, sky=[read_sky("antoniadi 3")])
    assert (page.present, page.note, len(page.sky)) == (["Ines"], "frost", 1)
    assert start_night(club, "Mill Field", now, note="thaw").note == "thaw"
    assert end_night(club, OPEN, now, note="clouds").note == "thaw\nclouds"


def test_a_night_left_open_elsewhere_is_not_ended_by_a_new_one_here(club: Database, now: datetime) -> None:
    start_night(club, "Kestrel Ridge", now)
    start_night(club, "Mill Field", now)
    start_night(club, "Mill Field", now + timedelta(days=1))
    assert [(night.site, night.open) for night in list_nights(club)] == [
        ("Mill Field", True),
        ("Kestrel Ridge", True),
        ("Mill Field", False),
    ]
