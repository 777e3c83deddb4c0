"""Taking a sheet in: whole or not at all, never twice, and never over what is on record."""

from pathlib import Path

import pytest

from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrivals import record_arrival
from obslog.club.night.nights import start_night
from obslog.club.night.open_night import SetupChoice
from obslog.club.night.setups import start_setup
from obslog.club.register import named_records
from obslog.club.sheets.arrivals_files import import_arrivals
from obslog.offsets import read_offset_or_landing as stood
from obslog.records.database import Database
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.mounts import Controller
from tests.club.sheets.sheets import LATER, counts, exported, faults, row, sheet_text, written


def test_a_sheet_makes_its_nights_setups_and_arrivals(club: Database, tmp_path: Path) -> None:
    rows = [
        row(role="sync"),
        row(target="Deneb"),
        row(setup="2"),
        row(mount="Bracken", tube=""),
        row(night="2026-03-03", utc="2026-03-03T20:41:00Z"),
    ]
    taken = import_arrivals(club, written(tmp_path, sheet_text(*rows)), LATER)
    assert (taken.rows, taken.added, taken.already_there) == (5, 5, 0)
    assert (taken.nights_added, taken.setups_added) == (2, 4)
    assert (taken.names_made, taken.still_to_tell) == ([], [])
    after = counts(club)
    assert (after["Night"], after["Setup"], after["Arrival"]) == (2, 4, 5)


def test_a_second_time_adds_nothing(club: Database, tmp_path: Path) -> None:
    path = written(tmp_path, sheet_text(row(), row(target="Deneb", note="dew")))
    import_arrivals(club, path, LATER)
    before, sheet = counts(club), exported(club)
    again = import_arrivals(club, path, LATER)
    assert (again.added, again.already_there, again.nights_added, again.setups_added) == (0, 2, 0, 0)
    assert (counts(club), exported(club)) == (before, sheet)


def test_a_longer_sheet_adds_only_what_is_new(club: Database, tmp_path: Path) -> None:
    import_arrivals(club, written(tmp_path, sheet_text(row())), LATER)
    again = import_arrivals(club, written(tmp_path, sheet_text(row(), row(target="Deneb"))), LATER)
    assert (again.added, again.already_there, again.setups_added) == (1, 1, 0)


def test_a_row_that_stands_twice_in_a_sheet_is_one_arrival(club: Database, tmp_path: Path) -> None:
    taken = import_arrivals(club, written(tmp_path, sheet_text(row(), row())), LATER)
    assert (taken.added, taken.already_there) == (1, 1)


@pytest.mark.parametrize(
    ("column", "cell"),
    [
        ("observer", "Bram Ostler"),
        ("observer", ""),
        ("pier_side", "west"),
        ("offset_east_arcmin", "-3"),
        ("landing", "edge"),
        ("centring_arcmin", "2"),
        ("note", "other"),
    ],
)
def test_a_row_that_differs_from_what_is_on_record_is_refused(
    club: Database, tmp_path: Path, column: str, cell: str
) -> None:
    import_arrivals(club, written(tmp_path, sheet_text(row())), LATER)
    path = written(tmp_path, sheet_text(row(target="Deneb"), row(**{column: cell})))
    ((line, _, why),) = faults(club, path)
    assert line == 3
    assert column in why
    assert "obslog edit" in why


def test_two_rows_of_a_sheet_that_contradict_each_other_are_refused(club: Database, tmp_path: Path) -> None:
    path = written(tmp_path, sheet_text(row(), row(offset_east_arcmin="9")))
    assert [fault[0] for fault in faults(club, path)] == [3]


def test_a_good_row_is_not_taken_beside_a_bad_one(club: Database, tmp_path: Path) -> None:
    path = written(tmp_path, sheet_text(row(), row(role="look"), row(site="New place")))
    assert {fault[0] for fault in faults(club, path, create=True)} == {3}


def test_new_names_are_refused_unless_they_are_asked_for(club: Database, tmp_path: Path) -> None:
    names = {"site": "Fell Top", "observer": "Cyr Finch", "mount": "Otter", "tube": "Stub"}
    path = written(tmp_path, sheet_text(row(**names)))
    refusals = faults(club, path)
    assert {column for _, column, _ in refusals} == set(names)
    assert all("--create" in why for *_, why in refusals)
    taken = import_arrivals(club, path, LATER, create=True)
    assert taken.names_made == ["site Fell Top", "member Cyr Finch", "mount Otter", "tube Stub"]
    assert [line.split(" --")[0] for line in taken.still_to_tell] == [
        'obslog site edit "Fell Top"', "obslog mount edit Otter", "obslog tube edit Stub",
    ]  # fmt: skip


def test_the_first_spelling_of_a_new_name_is_the_one_kept(club: Database, tmp_path: Path) -> None:
    spellings = ["Otter", "OTTER", "otter", "oTTer", "OtteR"]
    rows = [row(mount=name, target=f"star {n}") for n, name in enumerate(spellings)]
    taken = import_arrivals(club, written(tmp_path, sheet_text(*rows)), LATER, create=True)
    assert (taken.names_made, taken.setups_added) == (["mount Otter"], 1)


def test_a_name_no_one_could_type_is_not_made(club: Database, tmp_path: Path) -> None:
    path = written(tmp_path, sheet_text(row(mount="Ot\u202eter")))
    ((_, column, why),) = faults(club, path, create=True)
    assert column == "mount"
    assert "control characters" in why


def test_a_local_time_at_a_site_of_unknown_zone_is_refused(club: Database, tmp_path: Path) -> None:
    path = written(tmp_path, sheet_text(row(site="Fell Top", utc="", local="20:41")))
    ((_, column, why),) = faults(club, path, create=True)
    assert column == "local"
    assert "time zone is not known" in why


def test_the_tube_of_a_setup_without_one_is_filled_in(club: Database, tmp_path: Path) -> None:
    import_arrivals(club, written(tmp_path, sheet_text(row(tube=""))), LATER)
    taken = import_arrivals(club, written(tmp_path, sheet_text(row(), row(target="Deneb"))), LATER)
    assert (taken.added, taken.already_there, taken.setups_added) == (1, 1, 0)
    assert exported(club).count("Long tube") == 2


def test_what_was_typed_in_the_dark_is_there_already_when_its_sheet_comes_in(
    club: Database, tmp_path: Path
) -> None:
    evening = LATER.replace(month=3, day=2, hour=20)
    start_night(club, "Mill Field", evening)
    start_setup(club, "Heron", evening, tube="Long tube", observer="Ines", eyepiece="Wide 25")
    for seen in (
        ArrivalEntry(target="Vega", where=stood("3E 2N"), at="20:01Z", note="  two spaces  "),
        ArrivalEntry(target="Deneb", where=stood("0.4f W"), at="20:02Z", note="=1+1"),
        ArrivalEntry(
            target="nothing known",
            where=stood("edge"),
            at="20:03Z",
            ra_hours=24.0,
            dec_deg=3.0,
        ),
        ArrivalEntry(
            target="M 31",
            where=stood("4s E @16x"),
            at="20:04Z",
            centring_arcmin=0.1,
            note="'quoted'",
        ),
    ):
        record_arrival(club, Role.CHECK, seen, SetupChoice(), evening.replace(minute=30), sure=True)
    sheet = exported(club)
    taken = import_arrivals(club, written(tmp_path, sheet), LATER)
    assert (taken.added, taken.already_there) == (0, 4)
    assert exported(club) == sheet


def test_names_in_a_sheet_are_whole_for_nobody_reads_it_over(club: Database, tmp_path: Path) -> None:
    begun = {"site": "Mill", "observer": "Bram", "mount": "Hero", "tube": "Long"}
    refusals = faults(club, written(tmp_path, sheet_text(row(**begun))))
    assert {column for _, column, _ in refusals} == set(begun)
    told = {column: why for _, column, why in refusals}
    assert "In a sheet names are whole: Mill Field." in told["site"]
    assert "In a sheet names are whole: Heron." in told["mount"]


def test_new_rows_of_a_mount_that_goes_to_nothing_are_refused_each(club: Database, tmp_path: Path) -> None:
    known, new = row(), row(target="Deneb")
    import_arrivals(club, written(tmp_path, sheet_text(known)), LATER)
    named_records.edit(club, "mount", "Heron", {"controller": Controller.NONE}, LATER)
    refusals = faults(club, written(tmp_path, sheet_text(known, new)))
    assert [(line, column) for line, column, _ in refusals] == [(3, "mount")]
    assert "no controller that goes to objects" in refusals[0][2]
    again = import_arrivals(club, written(tmp_path, sheet_text(known)), LATER)
    assert (again.added, again.already_there) == (0, 1)


def test_no_mount_called_none_is_made_from_a_sheet(club: Database, tmp_path: Path) -> None:
    ((_, column, why),) = faults(club, written(tmp_path, sheet_text(row(mount="None"))), create=True)
    assert column == "mount"
    assert "no mount can be called so" in why
