"""The register takes names in, keeps them apart, and refuses what cannot be."""

import math
from datetime import date, datetime, timedelta

import pytest

from obslog.club.register import named_records
from obslog.club.register.named_records import FIELDS
from obslog.club.register.site_plausibility import DoubtfulLongitude, DoubtfulPlace
from obslog.club.register.typed_values import EmptyName, NameMeansNone
from obslog.club.storeroom import retirement
from obslog.club.storeroom.retirement import AlreadyRetired
from obslog.errors import NameTaken, NothingToChange, OutOfRange, UnknownName, UnknownZone
from obslog.records.database import Database
from obslog.records.name_lookup import KINDS
from obslog.times import FutureDate
from obslog.vocabulary.mounts import Controller, MountType


def test_what_was_added_is_shown_as_it_was_given(database: Database, now: datetime) -> None:
    given = {
        "mount_type": MountType.GERMAN,
        "controller": Controller.SHIFT,
        "refraction": True,
        "note": "heavy",
    }
    named_records.add(database, "mount", " Old   Faithful ", given, now)
    unset = {"retired_on": None, "retired_why": None}
    assert named_records.shown(database, "mount", "old faithful") == {
        "name": "Old Faithful",
        **given,
        **unset,
    }


def test_what_was_not_given_is_unknown_and_not_zero(database: Database, now: datetime) -> None:
    named_records.add(database, "site", "Somewhere", {}, now)
    shown = named_records.shown(database, "site", "Somewhere")
    assert [shown[column] for column in ("lat_deg", "lon_deg", "elevation_m", "zone")] == [None] * 4


@pytest.mark.parametrize("kind", ["site", "member", "mount", "tube", "eyepiece", "item"])
def test_a_name_is_taken_in_any_case_and_spacing(database: Database, now: datetime, kind: str) -> None:
    named_records.add(database, kind, "Grey Heron", {}, now)
    with pytest.raises(NameTaken, match="Grey Heron"):
        named_records.add(database, kind, "  GREY  heron ", {}, now)
    assert [thing["name"] for thing in named_records.listed(database, kind)] == ["Grey Heron"]


def test_one_name_may_serve_for_each_kind(database: Database, now: datetime) -> None:
    kinds = [*KINDS, "kit"]
    for kind in kinds:
        named_records.add(database, kind, "Heron", {}, now)
    assert all(named_records.shown(database, kind, "Heron")["name"] == "Heron" for kind in kinds)


@pytest.mark.parametrize("name", ["", "   ", "x" * 201, "a\tb\x00", "bell\a", "\udcff"])
def test_an_empty_long_or_unprintable_name_is_refused(database: Database, now: datetime, name: str) -> None:
    with pytest.raises(EmptyName):
        named_records.add(database, "member", name, {}, now)
    assert named_records.listed(database, "member") == []


def test_a_name_of_the_greatest_length_is_taken(database: Database, now: datetime) -> None:
    named_records.add(database, "member", "ß" * 200, {}, now)
    assert named_records.shown(database, "member", "ß" * 200)["name"] == "ß" * 200


@pytest.mark.parametrize(("kind", "column"), FIELDS)
def test_a_number_beyond_its_range_is_refused(
    database: Database, now: datetime, kind: str, column: str
) -> None:
    limits = FIELDS[kind, column]
    for value in (limits.low - 0.01, limits.high + 0.01, math.nan, math.inf, -math.inf):
        with pytest.raises(OutOfRange, match=limits.words):
            named_records.add(database, kind, "Heron", {column: value}, now)
    assert named_records.listed(database, kind) == []


@pytest.mark.parametrize(("kind", "column"), FIELDS)
def test_the_ends_of_a_range_are_within_it(database: Database, now: datetime, kind: str, column: str) -> None:
    for name, value in (("Low", FIELDS[kind, column].low), ("High", FIELDS[kind, column].high)):
        named_records.add(database, kind, name, {column: value}, now)
        assert named_records.shown(database, kind, name)[column] == value


def test_latitude_95_is_wrong_input(database: Database, now: datetime) -> None:
    with pytest.raises(OutOfRange, match="Latitude 95 is not between -90 and 90 degrees") as caught:
        named_records.add(database, "site", "Nowhere", {"lat_deg": 95}, now)
    assert caught.value.exit_code == 2


def test_an_unknown_zone_is_refused(database: Database, now: datetime) -> None:
    with pytest.raises(UnknownZone, match="Europe/Lodnon"):
        named_records.add(database, "site", "Mill Field", {"zone": "Europe/Lodnon"}, now)
    assert named_records.listed(database, "site") == []


@pytest.mark.parametrize(
    ("zone", "lon_deg", "believable"),
    [
        ("America/New_York", -74.0, True),
        ("America/New_York", 74.0, False),
        ("Europe/London", 52.4, True),  # 3.5 hours from Greenwich, to the fifth of a degree
        ("Europe/London", 52.6, False),
        ("Asia/Shanghai", 75.9, True),  # Kashgar: 2.9 hours behind its zone by the Sun
        ("Europe/Madrid", -8.5, True),
        ("Pacific/Auckland", -174.8, False),  # the wrong sign, though only 10 degrees away around the globe
        ("Pacific/Apia", -171.8, False),  # right, but the same to look at: a person has to say so
    ],
)
def test_a_longitude_that_disagrees_with_its_zone_is_questioned(
    database: Database, now: datetime, zone: str, lon_deg: float, believable: bool
) -> None:
    values = {"lon_deg": lon_deg, "zone": zone}
    if believable:
        named_records.add(database, "site", "There", values, now)
    else:
        with pytest.raises(DoubtfulLongitude, match="from Greenwich"):
            named_records.add(database, "site", "There", values, now)
        named_records.add(database, "site", "There", values, now, sure=True)
    assert named_records.shown(database, "site", "There")["lon_deg"] == lon_deg


def test_the_longitude_with_the_other_sign_is_proposed(database: Database, now: datetime) -> None:
    with pytest.raises(DoubtfulLongitude) as caught:
        named_records.add(database, "site", "There", {"lon_deg": 74.0, "zone": "America/New_York"}, now)
    assert "did you mean -74?" in caught.value.hint


def test_longitude_and_zone_are_looked_at_together_when_one_of_them_changes(
    club: Database, now: datetime
) -> None:
    with pytest.raises(DoubtfulLongitude):
        named_records.edit(club, "site", "Mill Field", {"lon_deg": 120.0}, now)
    with pytest.raises(DoubtfulLongitude):
        named_records.edit(club, "site", "Mill Field", {"zone": "Australia/Sydney"}, now)
    with pytest.raises(DoubtfulPlace):
        named_records.edit(club, "site", "Mill Field", {"zone": "Australia/Sydney", "lon_deg": 151.0}, now)
    named_records.edit(
        club, "site", "Mill Field", {"zone": "Australia/Sydney", "lat_deg": -33.9, "lon_deg": 151.0}, now
    )


def test_a_place_once_confirmed_is_not_questioned_at_other_edits(club: Database, now: datetime) -> None:
    named_records.edit(club, "site", "Mill Field", {"lon_deg": 120.0}, now, sure=True)
    named_records.edit(club, "site", "Mill Field", {"note": "far away"}, now)
    assert named_records.shown(club, "site", "Mill Field")["note"] == "far away"


def test_only_what_is_given_changes(club: Database, now: datetime) -> None:
    before = named_records.shown(club, "tube", "Long tube")
    after = named_records.edit(club, "tube", "LONG tube", {"focal_mm": 1200.0}, now)
    assert after == before | {"focal_mm": 1200.0}
    assert named_records.shown(club, "tube", "Long tube") == after


def test_an_edit_of_nothing_is_refused(club: Database, now: datetime) -> None:
    with pytest.raises(NothingToChange):
        named_records.edit(club, "tube", "Long tube", {}, now)


def test_an_edit_to_a_bad_value_changes_nothing(club: Database, now: datetime) -> None:
    before = named_records.shown(club, "tube", "Long tube")
    with pytest.raises(OutOfRange):
        named_records.edit(
            club, "tube", "Long tube", {"focal_mm": math.nan, "aperture_mm": 100.0}, now, rename="Short Tom"
        )
    assert named_records.shown(club, "tube", "Long tube") == before


def test_a_thing_is_renamed_also_to_another_spelling_of_its_name(club: Database, now: datetime) -> None:
    named_records.edit(club, "mount", "Heron", {}, now, rename="HERON")
    named_records.edit(club, "mount", "Heron", {}, now, rename="Yew")
    assert named_records.shown(club, "mount", "yew")["name"] == "Yew"
    with pytest.raises(UnknownName):
        named_records.shown(club, "mount", "Heron")


def test_a_thing_is_not_renamed_to_a_name_in_use(club: Database, now: datetime) -> None:
    with pytest.raises(NameTaken, match="Bracken"):
        named_records.edit(club, "mount", "Heron", {}, now, rename="bracken")


def test_an_unknown_name_is_refused_with_the_nearest_and_how_to_add_it(club: Database) -> None:
    with pytest.raises(UnknownName, match="Herron") as caught:
        named_records.shown(club, "mount", "Herron")
    assert "Did you mean Heron?" in caught.value.hint
    assert "obslog mount add Herron --type" in caught.value.hint
    assert caught.value.exit_code == 2


def test_a_retired_thing_leaves_the_list_and_keeps_its_name(club: Database, now: datetime) -> None:
    retired = retirement.retire(club, "mount", "Bracken", "worn out", now.date(), now)
    assert (retired["retired_on"], retired["retired_why"]) == (date(2026, 3, 2), "worn out")
    assert [mount["name"] for mount in named_records.listed(club, "mount")] == ["Heron", "Thistle"]
    everything = named_records.listed(club, "mount", with_retired=True)
    assert [mount["name"] for mount in everything] == ["Bracken", "Heron", "Thistle"]
    with pytest.raises(NameTaken):
        named_records.add(club, "mount", "Bracken", {}, now)


def test_a_thing_is_retired_once_and_not_in_the_future(club: Database, now: datetime) -> None:
    with pytest.raises(FutureDate):
        retirement.retire(club, "mount", "Bracken", None, now.date() + timedelta(days=2), now)
    retirement.retire(club, "mount", "Bracken", None, now.date(), now)
    with pytest.raises(AlreadyRetired, match="2026-03-02"):
        retirement.retire(club, "mount", "Bracken", None, now.date(), now)


def test_lists_are_in_order_of_the_names_whatever_their_case(database: Database, now: datetime) -> None:
    for name in ("beech", "Ash", "cedar"):
        named_records.add(database, "mount", name, {}, now)
    assert [mount["name"] for mount in named_records.listed(database, "mount")] == ["Ash", "beech", "cedar"]


def test_an_eyepiece_is_neither_added_as_none_nor_renamed_so(club: Database, now: datetime) -> None:
    with pytest.raises(NameMeansNone):
        named_records.add(club, "eyepiece", "none", {}, now)
    with pytest.raises(NameMeansNone):
        named_records.edit(club, "eyepiece", "Wide 25", {}, now, rename="NONE")
