"""The briefing: for the mounts that are meant, at the right instant, with stars, landings, eyepiece and cautions."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from numpy.testing import assert_allclose
from sqlalchemy.orm import Session

from obslog.club.checklist.briefing import NoMounts, brief
from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrivals import record_arrival
from obslog.club.night.nights import start_night
from obslog.club.night.open_night import SetupChoice
from obslog.club.night.setups import start_setup
from obslog.club.night.snags import add_snag
from obslog.club.register import named_records
from obslog.club.register.observing_site import observing_site
from obslog.club.storeroom.loans import lend
from obslog.club.targets.eyepiece_choice import eyepiece_for
from obslog.club.targets.eyepieces_at_hand import Outing
from obslog.errors import UnknownName
from obslog.offsets import read_offset_or_landing
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Mount, Site, Tube
from obslog.values import Place
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.mounts import Controller
from obslog.vocabulary.steps import Step


def with_heron(session: Session) -> Outing:
    site, mount = by_name(session, Site, "Mill Field"), by_name(session, Mount, "Heron")
    return Outing(site=site.id, mount=mount.id, tube=by_name(session, Tube, "Long tube"))


def test_every_mount_in_use_is_told_of_each_in_its_own_way(sqlite_club: Database, now: datetime) -> None:
    made = brief(sqlite_club, observing_site(sqlite_club, "Mill Field"), now)
    german, fork, altaz = (
        {m.mount: m for m in made.mounts}[name] for name in ("Heron", "Bracken", "Thistle")
    )
    assert [len(one.stars) for one in made.mounts] == [3, 3, 3]
    assert {star.pier_side for star in german.stars} - {None} <= {"east", "west"}
    assert [star.name for star in german.stars if star.pier_side is not None]
    assert {star.pier_side for star in (*fork.stars, *altaz.stars)} == {None}
    assert (german.scale, altaz.scale) == ("altitude scale 52.2°, toward true north", None)
    for one in made.mounts:
        assert one.expected_landing_arcmin is not None
        assert 0 < one.expected_landing_arcmin.half < one.expected_landing_arcmin.ninety_five_percent
        assert all(star.alt_deg >= 20 for star in one.stars)
    assert made.pole is not None
    assert made.pole.star == "Polaris"


def test_the_side_of_the_pier_is_opposite_the_star(sqlite_club: Database, now: datetime) -> None:
    # Design: tube east of the pier, looking west, is the ordinary state.
    (one,) = brief(sqlite_club, observing_site(sqlite_club, "Mill Field"), now, ["Heron"]).mounts
    sides = {
        "east" if star.az_deg < 180 else "west": star.pier_side
        for star in one.stars
        if 30 < star.az_deg < 150 or 210 < star.az_deg < 330
    }
    assert sides == {"east": "west", "west": "east"}


def test_mounts_used_at_the_site_come_before_all_others(evening: Database, now: datetime) -> None:
    made = brief(evening, observing_site(evening, "Mill Field"), now)
    assert [one.mount for one in made.mounts] == ["Heron"]
    elsewhere = brief(evening, observing_site(evening, "Kestrel Ridge"), now)
    assert [one.mount for one in elsewhere.mounts] == ["Bracken", "Heron", "Thistle"]
    named = brief(evening, observing_site(evening, "Mill Field"), now, ["thistle", "Thistle"])
    assert [one.mount for one in named.mounts] == ["Thistle"]
    assert named.pole is None


def test_a_day_that_begins_after_noon_is_waited_out_and_the_dark_before_it_is_not(
    sqlite_club: Database,
) -> None:
    """At McMurdo the Sun first comes within 6 degrees of the horizon on 1 August, for minutes about 12:58 by the clock.

    Its height then is 90 - 77.85 - 18.1, less what it is off the meridian: 6 degrees down, the Sun 18.1 degrees north.
    """
    view = replace(
        observing_site(sqlite_club, "Mill Field"),
        place=Place(-77.85, 166.7, 10.0),
        zone=ZoneInfo("Antarctica/McMurdo"),
    )
    dark, light = datetime(2026, 8, 1, 0, 2, tzinfo=UTC), datetime(2026, 8, 1, 1, 0, tzinfo=UTC)
    assert brief(sqlite_club, view, dark, ["Thistle"]).sync_utc == dark
    by_day = brief(sqlite_club, view, light, ["Thistle"])
    assert by_day.sync_utc == by_day.sun_moon.twilight_utc["civil_dusk"]
    assert by_day.sync_utc > light


def test_by_day_the_stars_are_those_of_civil_dusk(sqlite_club: Database) -> None:
    view = observing_site(sqlite_club, "Mill Field")
    noon, night = datetime(2026, 6, 20, 14, 0, tzinfo=UTC), datetime(2026, 6, 20, 23, 0, tzinfo=UTC)
    by_day = brief(sqlite_club, view, noon, ["Heron"])
    assert by_day.sync_utc == by_day.sun_moon.twilight_utc["civil_dusk"]
    assert len(by_day.cautions) == 2
    assert by_day.too_light is None
    assert brief(sqlite_club, view, night, ["Heron"]).sync_utc == night


@pytest.mark.parametrize(
    ("place", "zone", "at", "words"),
    [
        # At 69 degrees north the Sun is up all 21 June, and on 5 May at midnight 90 - 69 - 16 = 5 degrees down.
        (Place(69.0, 19.0), "Europe/Oslo", "2026-06-21T21:00Z", "It is too light for stars at 23:00."),
        (Place(69.0, 19.0), "Europe/Oslo", "2026-05-05T22:30Z", "It is too light for stars at 00:30."),
        # In the morning the night that has begun at noon of the day before is over.
        (Place(-34.0, 18.5), "Africa/Johannesburg", "2026-06-16T08:00Z", "It is too light for stars at 10:00. The f"),
    ],
)  # fmt: skip
def test_where_no_dusk_comes_any_more_it_is_said_to_be_too_light(
    sqlite_club: Database, place: Place, zone: str, at: str, words: str
) -> None:
    view = replace(observing_site(sqlite_club, "Mill Field"), place=place, zone=ZoneInfo(zone))
    made = brief(sqlite_club, view, datetime.fromisoformat(at), ["Heron"])
    assert made.too_light is not None
    assert made.too_light.startswith(words)
    dark = brief(sqlite_club, view, datetime(2026, 1, 5, 21, tzinfo=UTC), ["Heron"])
    assert dark.too_light is None


def test_a_night_far_ahead_can_be_asked_about(sqlite_club: Database, now: datetime) -> None:
    ahead = now + timedelta(days=400)
    made = brief(sqlite_club, observing_site(sqlite_club, "Mill Field"), ahead, ["Heron"])
    assert (made.night, len(made.mounts[0].stars)) == (ahead.date(), 3)


def test_in_the_far_south_it_names_what_messier_never_saw(sqlite_club: Database) -> None:
    """The Large Cloud (dec -69.8) crosses the meridian in the evening of a February, 66° up at 45.9° south."""
    where = {"lat_deg": -45.9, "lon_deg": 170.5, "zone": "Pacific/Auckland"}
    at = datetime(2027, 2, 6, 10, 0, tzinfo=UTC)
    named_records.add(sqlite_club, "site", "South Bay", where, at)
    made = brief(sqlite_club, observing_site(sqlite_club, "South Bay"), at, ["Heron"])
    assert "ESO 56-115" in [target.name for target in made.targets]


def test_open_snags_stand_in_it(evening: Database, now: datetime) -> None:
    add_snag(evening, Step.CABLES, "plug loose", now)
    (one,) = brief(evening, observing_site(evening, "Mill Field"), now, ["Heron"]).mounts
    assert [snag.text for snag in one.open_snags] == ["plug loose"]


def test_a_mount_that_cannot_be_planned_says_why(sqlite_club: Database, now: datetime) -> None:
    from obslog.records.tables.logbook_tables import Mount

    with sqlite_club.write(now) as session:
        session.add(Mount(name="Riddle", name_key="riddle"))
    (one,) = brief(sqlite_club, observing_site(sqlite_club, "Mill Field"), now, ["Riddle"]).mounts
    assert one.stars == []
    assert one.not_planned is not None
    assert "Riddle" in one.not_planned


def test_names_are_looked_up_and_a_club_without_mounts_is_told_so(
    sqlite_club: Database, sqlite_path: object, now: datetime
) -> None:
    view = observing_site(sqlite_club, "Mill Field")
    with pytest.raises(UnknownName):
        brief(sqlite_club, view, now, ["Nobody's"])
    with pytest.raises(UnknownName):
        brief(sqlite_club, view, now, member_name="Nobody")


def test_without_a_mount_it_says_so(sqlite_database: Database, now: datetime) -> None:
    named_records.add(
        sqlite_database, "site", "Fen", {"lat_deg": 52.0, "lon_deg": 0.0, "zone": "Europe/London"}, now
    )
    with pytest.raises(NoMounts):
        brief(sqlite_database, observing_site(sqlite_database, "Fen"), now)


@pytest.mark.parametrize(
    ("half_arcmin", "eyepiece", "field_arcmin"),
    [(10.0, "Stop 20", 68.75), (20.0, "Wide 25", 79.5), (60.0, "Wide 25", 79.5)],
)
def test_the_eyepiece_is_the_narrowest_that_holds_nine_of_ten(
    sqlite_club: Database, half_arcmin: float, eyepiece: str, field_arcmin: float
) -> None:
    # Long tube has 1000 mm: Stop 20 shows 20 / 1000 rad = 68.75', Wide 25 53 / 40 deg = 79.5'. The chance of landing in
    # a field of radius R is 1 - 2^-(R / half)^2; at half 20' that is 0.871 and 0.935, so the wider one is taken.
    with sqlite_club.read() as session:
        advice = eyepiece_for(session, with_heron(session), half_arcmin, half_arcmin * np.sqrt(np.log2(20)))
    assert advice is not None
    assert advice.eyepiece == eyepiece
    assert_allclose(advice.field_arcmin, field_arcmin, atol=0.01)
    assert_allclose(advice.chance, 1 - 2 ** -((field_arcmin / 2 / half_arcmin) ** 2), rtol=1e-4)


def test_the_chance_in_a_field_agrees_with_the_radii_told_beside_it(sqlite_club: Database) -> None:
    """Wide 25 shows 79.5': where 95 % land within 39.75' it holds 95 %, where half do, half, whatever the other is."""
    for half_arcmin, most_arcmin, chance in ((25.0, 39.75, 0.95), (39.75, 60.0, 0.5)):
        with sqlite_club.read() as session:
            advice = eyepiece_for(session, with_heron(session), half_arcmin, most_arcmin)
        assert advice is not None
        assert advice.eyepiece == "Wide 25"
        assert_allclose(advice.chance, chance, rtol=1e-6)


def test_an_eyepiece_that_somebody_else_has_is_not_told_to_be_used(
    sqlite_club: Database, now: datetime
) -> None:
    """Nothing is known of Heron, so half of its go-tos land far out and the widest eyepiece is told."""
    start_night(sqlite_club, "Mill Field", now)
    start_setup(sqlite_club, "Heron", now, tube="Long tube")
    for role, star in ((Role.SYNC, "Regulus"), (Role.CHECK, "Capella")):
        entry = ArrivalEntry(target=star, where=read_offset_or_landing("30E 20N"))
        record_arrival(sqlite_club, role, entry, SetupChoice(), now, sure=True)
    view = observing_site(sqlite_club, "Mill Field")

    def told(member: str) -> str:
        (one,) = brief(sqlite_club, view, now, ["Heron"], member_name=member).mounts
        assert one.eyepiece is not None
        return one.eyepiece.eyepiece

    lend(sqlite_club, "Wide 25", "Ines", now)
    assert (told("Ines"), told("Bram Ostler")) == ("Wide 25", "Stop 20")


def test_the_tube_and_eyepiece_in_use_lead_to_advice(sqlite_club: Database, now: datetime) -> None:
    start_night(sqlite_club, "Mill Field", now)
    start_setup(sqlite_club, "Heron", now, tube="Long tube")
    (one,) = brief(sqlite_club, observing_site(sqlite_club, "Mill Field"), now, ["Heron"]).mounts
    assert one.not_planned is None


def test_of_a_mount_without_a_controller_no_sync_is_planned(sqlite_club: Database, now: datetime) -> None:
    named_records.edit(sqlite_club, "mount", "Thistle", {"controller": Controller.NONE}, now)
    made = brief(sqlite_club, observing_site(sqlite_club, "Mill Field"), now)
    one = next(mount for mount in made.mounts if mount.mount == "Thistle")
    assert (one.stars, one.not_planned) == ([], None)
    assert all(mount.stars for mount in made.mounts if mount.mount != "Thistle")
