"""The sheet of a stocktake: all that the club has, once each, under the place where it should be."""

from datetime import datetime

import pytest

from obslog.club.forms.blocks import Form, Heading, Table
from obslog.club.forms.stocktake_sheet import NEW_COLUMNS, stocktake_sheet
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.kits import add_kit
from obslog.club.storeroom.loans import lend
from obslog.club.storeroom.missing import go_missing
from obslog.club.storeroom.retirement import retire, write_off
from obslog.records.database import Database


@pytest.fixture
def store(club: Database, now: datetime) -> Database:
    """Mounts on a shelf, a battery in a trunk, a tube on loan, an eyepiece missing, one retired, one written off."""
    write_paper(club, "Heron", {"place": "north shelf", "tag": "M-1"}, now)
    write_paper(club, "Bracken", {"place": "north shelf", "tag": "M-2"}, now)
    write_paper(club, "Lead battery", {"place": "Iron trunk"}, now)
    add_kit(club, "Evening kit", ["Heron", "dust cap"], now)
    lend(club, "Long tube", "Ines", now)
    go_missing(club, "Wide 25", now)
    retire(club, "eyepiece", "Stop 20", "worn", now.date(), now)
    write_off(club, "Thistle", "burnt", now)
    return club


def by_place(form: Form) -> dict[str, list[tuple[str, ...]]]:
    found: dict[str, list[tuple[str, ...]]] = {}
    heading = ""
    for block in form.blocks:
        if isinstance(block, Heading):
            heading = block.words
        elif isinstance(block, Table):
            found[heading] = [row[1:4] for row in block.rows]
    return found


def test_each_thing_stands_once_where_it_should_be(store: Database, now: datetime) -> None:
    assert by_place(stocktake_sheet(store, now.date())) == {
        "Iron trunk: 1 item": [("", "Lead battery (battery)", "Iron trunk")],
        "north shelf: 2 items": [
            ("M-2", "Bracken (mount)", "north shelf"),
            ("M-1", "Heron (mount)", "north shelf, in Evening kit"),
        ],
        "On loan: 1 item": [("", "Long tube (tube)", "on loan, due 2026-03-30")],
        "Missing: 1 item": [("", "Wide 25 (eyepiece)", "missing since 2026-03-02")],
        "Parts of kits without a record: 1 part": [("", "dust cap", "in Evening kit")],
        "Not on record": [],
    }


def test_who_has_something_is_named_only_for_the_officer(store: Database, now: datetime) -> None:
    assert "Ines" not in str(stocktake_sheet(store, now.date()))
    assert "with Ines, due 2026-03-30" in str(stocktake_sheet(store, now.date(), with_names=True))


def test_a_part_of_a_kit_that_is_out_is_not_looked_for(store: Database, now: datetime) -> None:
    lend(store, "Evening kit", "Ines", now)
    rows = by_place(stocktake_sheet(store, now.date()))
    assert rows["Parts of kits without a record: 1 part"] == [("", "dust cap", "in Evening kit, out")]


def test_there_is_room_for_what_is_not_on_record(club: Database, now: datetime) -> None:
    last = stocktake_sheet(club, now.date()).blocks[-1]
    assert isinstance(last, Table)
    assert (last.columns[:-1], last.fills_page, last.writing) == (NEW_COLUMNS, True, True)
    assert last.columns[-1].words == ("good", "worn", "damaged")
    assert last.blank_rows > 0


def test_an_empty_store_is_a_blank_sheet(database: Database, now: datetime) -> None:
    assert by_place(stocktake_sheet(database, now.date())) == {"Not on record": []}
