"""What is wanting in the records is found, of each kind, and nothing of what is whole or out of use."""

from datetime import datetime

import pytest

from obslog.club.office.health import RecordsHealth, astray, records_health
from obslog.club.register.named_records import add
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.kits import add_kit, list_kits
from obslog.club.storeroom.loans import lend
from obslog.club.storeroom.missing import go_missing, part_goes_missing
from obslog.club.storeroom.retirement import retire
from obslog.records.database import Database

ITEMS = (
    "Heron",
    "Bracken",
    "Thistle",
    "Long tube",
    "Wide 25",
    "Stop 20",
    "Lead battery",
)  # of the invented club


def found(health: RecordsHealth, kind: str) -> list[tuple[str, str]]:
    [check] = [check for check in health.checks if check.kind == kind]
    return [(one.name, one.mend) for one in check.wanting]


def test_what_was_never_written_down_is_found(club: Database, now: datetime) -> None:
    add(club, "mount", "Old fork", {}, now)
    add(club, "tube", "Short tube", {}, now)
    add(club, "tube", "Finder", {"aperture_mm": 50}, now)
    add(club, "eyepiece", "Plain 10", {"focal_mm": 10}, now)
    add(club, "eyepiece", "Box find", {}, now)
    add(club, "site", "The hill", {"zone": "Europe/London"}, now)
    health = records_health(club)
    assert found(health, "mount") == [
        ("Old fork", 'obslog mount edit "Old fork" --type WORD --controller WORD')
    ]
    assert found(health, "tube") == [
        ("Finder", "obslog tube edit Finder --focal-mm MM"),
        ("Short tube", 'obslog tube edit "Short tube" --aperture-mm MM --focal-mm MM'),
    ]
    assert found(health, "eyepiece") == [
        ("Box find", 'obslog eyepiece edit "Box find" --focal-mm MM --field-deg DEG'),
        ("Plain 10", 'obslog eyepiece edit "Plain 10" --field-deg DEG'),
    ]
    assert found(health, "site") == [("The hill", 'obslog site edit "The hill" --place "LATITUDE LONGITUDE"')]
    everything = {*ITEMS, "Old fork", "Short tube", "Finder", "Plain 10", "Box find"}
    assert {name for name, _ in found(health, "tag")} == everything
    assert {name for name, _ in found(health, "value")} == everything


def test_what_is_whole_or_out_of_use_is_not(club: Database, now: datetime) -> None:
    for number, name in enumerate(ITEMS):
        write_paper(club, name, {"tag": f"T{number}", "value": 10.0}, now)
    add(club, "mount", "Old fork", {}, now)
    retire(club, "mount", "Old fork", None, now.date(), now)
    add_kit(club, "Evening kit", ["Wide 25", "dust cap"], now)
    health = records_health(club)
    assert health.found == 0
    assert {check.kind: check.looked_at for check in health.checks} == {
        "tag": 7, "value": 7, "kit": 1, "mount": 3, "tube": 1, "eyepiece": 2, "site": 2, "member": 2,
    }  # fmt: skip


def test_a_value_of_nothing_is_known(club: Database, now: datetime) -> None:
    write_paper(club, "Heron", {"value": 0.0}, now)
    assert "Heron" not in {name for name, _ in found(records_health(club), "value")}


def test_a_kit_whose_part_is_missing_retired_or_lent_by_itself_is_not_whole(
    club: Database, now: datetime
) -> None:
    add_kit(club, "Evening kit", ["Wide 25", "Stop 20", "Lead battery", "dust cap"], now)
    go_missing(club, "Wide 25", now)
    lend(club, "Stop 20", "Ines", now)
    found_parts = found(records_health(club), "kit")
    assert found_parts == [
        ("Evening kit", 'obslog kit found "Evening kit" "Wide 25"'),
        ("Evening kit", 'obslog loan back "Stop 20"'),
    ]


def test_kits_are_counted_and_not_their_parts(club: Database, now: datetime) -> None:
    """One kit of two wanted three parts, and it was said: "3 of 2"."""
    add_kit(club, "Evening kit", ["Wide 25", "Stop 20", "dust cap"], now)
    add_kit(club, "Box", ["Lead battery"], now)
    for eyepiece in ("Wide 25", "Stop 20"):
        go_missing(club, eyepiece, now)
    part_goes_missing(club, "Evening kit", "dust cap", now)
    [kits] = [check for check in records_health(club).checks if check.kind == "kit"]
    assert (len(kits.wanting), kits.records, kits.looked_at) == (3, 1, 2)


def test_a_member_with_three_spellings_is_no_member_more_than_there_are(
    club: Database, now: datetime
) -> None:
    """All three are alike: three pairs, of which two are later spellings of the first."""
    for name in ("Ostler Bram", "Bram Östler"):
        add(club, "member", name, {}, now)
    [members] = [check for check in records_health(club).checks if check.kind == "member"]
    assert (len(members.wanting), members.records, members.looked_at) == (3, 2, 4)


def test_two_items_of_one_name_are_two(club: Database, now: datetime) -> None:
    add(club, "tube", "Heron", {"focal_mm": 500.0}, now)
    [tags] = [check for check in records_health(club).checks if check.kind == "tag"]
    assert tags.records == tags.looked_at == len(ITEMS) + 1


def test_a_kit_that_is_out_with_its_parts_is_whole(club: Database, now: datetime) -> None:
    add_kit(club, "Evening kit", ["Wide 25", "dust cap"], now)
    lend(club, "Evening kit", "Ines", now)
    assert found(records_health(club), "kit") == []


def test_a_part_that_the_borrower_of_the_kit_has_by_another_loan_is_found(
    club: Database, now: datetime
) -> None:
    """Both are with one member: the hand-over named the kit, and nothing of it."""
    add_kit(club, "Evening kit", ["Wide 25", "Stop 20"], now)
    lend(club, "Stop 20", "Ines", now)
    lend(club, "Evening kit", "Ines", now)
    assert found(records_health(club), "kit") == [("Evening kit", 'obslog loan back "Stop 20"')]
    assert [[part.part for part in astray(kit)] for kit in list_kits(club, with_names=True)] == [["Stop 20"]]


def test_no_borrower_is_named(club: Database, now: datetime) -> None:
    add_kit(club, "Evening kit", ["Wide 25", "Stop 20"], now)
    lend(club, "Stop 20", "Bram Ostler", now)
    [check] = [check for check in records_health(club).checks if check.kind == "kit"]
    assert not any("Bram" in f"{one}" for one in check.wanting)


@pytest.mark.parametrize(("name", "found_too"), [("Bram Oslter", True), ("Cleo Marsh", False)])
def test_two_spellings_are_shown_with_the_command_that_joins_them(
    club: Database, now: datetime, name: str, found_too: bool
) -> None:
    add(club, "member", name, {}, now)
    expected = [("Bram Oslter", 'obslog member same "Bram Oslter" "Bram Ostler" --look')] if found_too else []
    assert found(records_health(club), "member") == expected
