"""A sheet as a whole: looked at without a trace, taken whole or not at all, taken back, given out the same."""

from pathlib import Path

import pytest

from obslog.club.bring_in.bring_in import bring_in
from obslog.club.bring_in.give_out import write_sheet_to
from obslog.club.register import named_records
from obslog.club.register.undo import undo
from obslog.exchange.spreadsheets.columns import kinds
from obslog.records.database import Database
from tests.club.bring_in.sheets import NOW, Desk

SHEETS = {
    "members": ("name,phone,note", "Cleo Marsh,01632 960 1,=key", "Ines,2,"),
    "items": (
        "name,kind,tag,value,focal length",
        "Wren,mount,C-1,600,",
        "Wide 25,eyepiece,C-2,,25",
        "Case 4,case,,,",
    ),
    "kits": ("kit,parts,days", "Big kit,Heron; Wide 25; dust cap,28"),
    "services": ("item,date,work,cost", "Heron,2026-01-10,new grease,12.50"),
    "loans": (
        "item,borrower,out,back",
        "Heron,Ines,2025-06-01,2025-06-20",
        "Big kit,Bram Ostler,2026-02-20,",
    ),
    "observations": (
        "night,time,site,object,observer,mount,scope,eyepiece,sighting",
        "2026-03-01,21:05,Mill Field,M81,Ines,Heron,Long tube,Wide 25,",
        "2026-03-01,00:20,Mill Field,=M 101,Bram Ostler,,,,no",
    ),
}


@pytest.mark.parametrize("kind", SHEETS)
def test_to_look_tells_the_same_and_leaves_no_trace(desk: Desk, kind: str) -> None:
    if kind == "loans":
        desk.take("kits", *SHEETS["kits"])
    before = desk.everything()
    looked = desk.take(kind, *SHEETS[kind], look=True)
    assert desk.everything() == before
    taken = desk.take(kind, *SHEETS[kind])
    assert (looked.rows, looked.new, looked.changed) == (taken.rows, taken.new, taken.changed)
    assert (looked.looked_only, taken.looked_only) == (True, False)


@pytest.mark.parametrize("kind", SHEETS)
def test_one_undo_takes_a_sheet_back_whole(desk_of_each: Desk, kind: str) -> None:
    desk = desk_of_each
    if kind == "loans":
        desk.take("kits", *SHEETS["kits"])
    before = desk.everything()
    desk.take(kind, *SHEETS[kind])
    assert desk.everything() != before
    assert undo(desk.database, NOW) == f"import {kind} {kind}.csv"
    assert desk.everything() == before


@pytest.mark.parametrize(
    ("kind", "rows", "new", "changed"),
    [
        ("kits", ("kit,part", "Big kit,Heron", "Big kit,dust cap", "Big kit,Wide 25", "Small kit,"), 2, 0),
        ("items", ("name,kind,tag,value", "Teal,mount,C-7,", "Teal,mount,,600", "Teal,tube,,"), 2, 0),
        ("items", ("name,tag,value", "Heron,,600", "Heron,C-7,", "Heron,,"), 0, 1),
        ("members", ("name,phone,note", "Cleo Marsh,1,", "Cleo Marsh,,has a key"), 1, 0),
    ],
)
def test_a_record_that_fills_several_rows_is_counted_once(
    desk: Desk, kind: str, rows: tuple[str, ...], new: int, changed: int
) -> None:
    found = desk.take(kind, *rows)
    assert (found.new, found.changed, found.same) == (new, changed, 0)
    assert len(found.rows) == len(rows) - 1


def test_one_bad_row_leaves_everything_as_it_was(desk: Desk) -> None:
    assert len(desk.faults("items", "name,kind,value", "Wren,mount,600", "Teal,mount,cheap")) == 1


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_what_is_given_out_brings_an_empty_club_to_the_same_rows(
    desk: Desk, sqlite_path: Path, tmp_path: Path, ending: str, database: Database
) -> None:
    for kind, sheet in SHEETS.items():
        desk.take(kind, *sheet)
    other = Desk(database, tmp_path)
    named_records.add(database, "site", "Mill Field", {"zone": "Europe/London"}, NOW)
    for kind in SHEETS:
        path = tmp_path / f"out-{kind}.{ending}"
        write_sheet_to(path, kind, desk.rows(kind))
        bring_in(database, kind, path, NOW)
    assert other.everything() == desk.everything()


def test_every_kind_of_sheet_can_be_brought_in() -> None:
    assert set(SHEETS) == set(kinds())
