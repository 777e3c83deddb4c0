"""What a new club lacks, and each answer as an act of its own."""

from datetime import datetime

import pytest

from obslog.club.night.nights import start_night
from obslog.club.register.first_things import NEEDED, FirstThing, first_things, put_on_record
from obslog.club.register.named_records import add, listed
from obslog.club.register.site_plausibility import DoubtfulPlace
from obslog.club.register.undo import undo
from obslog.errors import NameTaken
from obslog.records.database import Database

PLACE = {"lat_deg": 52.2, "lon_deg": 0.12}


def of(things: list[FirstThing], kind: str) -> FirstThing:
    return next(thing for thing in things if thing.kind == kind)


def test_an_empty_club_lacks_one_of_each(database: Database) -> None:
    things = first_things(database)
    assert [(thing.kind, thing.name, thing.missing) for thing in things] == [
        (kind, None, columns) for kind, columns in NEEDED.items()
    ]


def test_a_club_that_has_one_of_each_lacks_nothing(club: Database) -> None:
    things = first_things(club)
    assert [thing.missing for thing in things] == [()] * len(NEEDED)
    assert of(things, "mount").others == 2


def test_an_elevation_that_nobody_knows_is_not_missed_and_not_zero(database: Database, now: datetime) -> None:
    add(database, "site", "Fen Edge", {**PLACE, "zone": "Europe/London"}, now)
    site = of(first_things(database), "site")
    assert site.missing == ()
    assert site.known["elevation_m"] is None


def test_the_one_of_which_most_is_on_record_is_gone_on_with(database: Database, now: datetime) -> None:
    add(database, "tube", "A short one", {}, now)
    add(database, "tube", "Long tube", {"aperture_mm": 212.0}, now)
    tube = of(first_things(database), "tube")
    assert (tube.name, tube.missing, tube.others) == ("Long tube", ("focal_mm",), 1)


def test_of_several_sites_it_is_the_last_used(club: Database, now: datetime) -> None:
    assert of(first_things(club), "site").name == "Kestrel Ridge"  # the first by name
    start_night(club, "Mill Field", now)
    assert of(first_things(club), "site").name == "Mill Field"


def test_each_answer_is_an_act_of_its_own_and_undone_by_itself(database: Database, now: datetime) -> None:
    site = of(first_things(database), "site")
    site = put_on_record(database, site, {"name": "Fen Edge"}, now)
    site = put_on_record(database, site, PLACE, now)
    site = put_on_record(database, site, {"zone": "Europe/London"}, now)
    assert site.missing == ()
    undo(database, now)
    assert of(first_things(database), "site").missing == ("zone",)
    undo(database, now)
    assert of(first_things(database), "site").missing == ("lat_deg", "lon_deg", "zone")
    undo(database, now)
    assert listed(database, "site") == []


def test_an_answer_that_is_on_record_already_is_no_act(database: Database, now: datetime) -> None:
    tube = of(first_things(database), "tube")
    tube = put_on_record(database, tube, {"name": "Long tube"}, now)
    assert put_on_record(database, tube, {"name": "Long tube"}, now) == tube
    undo(database, now)
    assert listed(database, "tube") == []


def test_a_name_given_anew_renames(database: Database, now: datetime) -> None:
    tube = put_on_record(database, of(first_things(database), "tube"), {"name": "Logn tube"}, now)
    assert put_on_record(database, tube, {"name": "Long tube"}, now).name == "Long tube"
    assert [record["name"] for record in listed(database, "tube")] == ["Long tube"]


def test_what_is_refused_leaves_everything_as_it_was(club: Database, now: datetime) -> None:
    new = FirstThing(kind="site", known={})
    with pytest.raises(NameTaken):
        put_on_record(club, new, {"name": "Mill Field"}, now)
    turned = put_on_record(club, new, {"name": "Fen Edge"}, now)
    turned = put_on_record(club, turned, {"lat_deg": 0.12, "lon_deg": 52.2}, now)
    with pytest.raises(DoubtfulPlace):
        put_on_record(club, turned, {"zone": "Europe/London"}, now)
    assert {site["name"]: site["zone"] for site in listed(club, "site")}["Fen Edge"] is None
    assert put_on_record(club, turned, {"zone": "Europe/London"}, now, sure=True).missing == ()
