"""The insurer's list, held against a club whose sums are done by hand; unknown is never nothing."""

from datetime import date, datetime
from pathlib import Path

import pytest
from numpy.testing import assert_allclose

from obslog.club.office.depreciation import WrittenDown
from obslog.club.office.insurance import InsuranceList, InsuredItem, Proof, Total, insurance_list
from obslog.club.register.rule_book import set_rule
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.kits import add_kit
from obslog.club.storeroom.loans import lend
from obslog.club.storeroom.missing import go_missing
from obslog.club.storeroom.proof_files import add_photograph, add_receipt
from obslog.club.storeroom.retirement import retire, write_off
from obslog.records.database import Database
from obslog.vocabulary.storeroom import Acquired

# Of seven items: two on a shelf, one without a place, one with each of two members, one missing, one written off.
SHELF, TODAY = "north shelf", date(2026, 3, 2)


@pytest.fixture
def store(club: Database, now: datetime) -> Database:
    def paper(name: str, **values: object) -> None:
        write_paper(club, name, values, now)

    paper("Heron", tag="M-2", value=900.10, place=SHELF, cost=1200.0, acquired_on=date(2020, 3, 1),
          acquired=Acquired.BOUGHT, maker="Northlight", model="G 11", serial="7", valued_by="Tomasz")  # fmt: skip
    paper("Bracken", tag="M-1", place=SHELF)
    paper("Long tube", value=300.20, valued_on=None, place=SHELF)
    paper("Wide 25", value=0.0, cost=45.0)
    paper("Stop 20", value=77.0, place="trunk")
    paper("Thistle", value=5000.0)
    add_kit(club, "Evening kit", ["Long tube", "dust cap"], now)
    lend(club, "Evening kit", "Ines", now)
    lend(club, "Lead battery", "Bram Ostler", now)
    go_missing(club, "Stop 20", now)
    write_off(club, "Thistle", "burnt", now)
    return club


def named(found: InsuranceList, name: str) -> InsuredItem:
    (item,) = [item for item in found.items if item.name == name]
    return item


def sums(totals: list[Total]) -> dict[str, tuple[int, float | None, int]]:
    return {total.name: (total.items, total.value, total.unknown) for total in totals}


def test_sums_are_of_what_is_known_and_the_rest_is_counted(store: Database) -> None:
    found = insurance_list(store, TODAY)
    # 900.10 + 300.20 + 0 + 77 = 1277.30; Bracken and the battery have no value on record. Thistle is gone.
    assert_allclose(found.total.value or 0, 1277.30, rtol=1e-12)
    assert (found.total.items, found.total.unknown) == (6, 2)
    assert sums(found.by_place) == {
        SHELF: (2, 900.10, 1),
        "no place on record": (1, 0.0, 0),
        "on loan": (2, 300.20, 1),
        "missing": (1, 77.0, 0),
    }
    assert [total.name for total in found.by_place][1:] == ["no place on record", "on loan", "missing"]
    assert sums(found.by_holder) == {
        "in the store": (3, 900.10, 1),
        "with 2 members": (2, 300.20, 1),
        "missing": (1, 77.0, 0),
    }
    assert (found.retired, found.written_off, found.undated, found.without_proof) == (0, 1, 1, 6)
    assert [item.name for item in found.items[:3]] == [
        "Bracken",
        "Heron",
        "Lead battery",
    ]  # by tag, then name


def test_a_place_is_one_whatever_its_capitals(store: Database, now: datetime) -> None:
    write_paper(store, "Wide 25", {"place": "North Shelf"}, now)
    assert sums(insurance_list(store, TODAY).by_place) == {
        SHELF: (3, 900.10, 1),
        "on loan": (2, 300.20, 1),
        "missing": (1, 77.0, 0),
    }


def test_what_is_retired_is_left_out_and_counted(store: Database, now: datetime) -> None:
    retire(store, "mount", "Heron", "worn", now.date(), now)
    found = insurance_list(store, TODAY)
    assert (found.retired, found.written_off, len(found.items)) == (1, 1, 5)
    assert sums(found.by_place)[SHELF] == (
        1,
        None,
        1,
    )  # of Bracken nothing is known, which is not worth nothing
    assert found.by_place[0].value is None


def test_holders_and_valuers_are_named_only_where_asked(store: Database) -> None:
    told = insurance_list(store, TODAY)
    assert not {"Ines", "Bram Ostler", "Tomasz"} & set(str(told).replace("'", " ").split())
    assert "Tomasz" not in str(told)
    assert (named(told, "Long tube").where, named(told, "Long tube").holder) == ("on loan", None)
    found = insurance_list(store, TODAY, with_names=True)
    assert sums(found.by_holder) == {
        "in the store": (3, 900.10, 1),
        "with Bram Ostler": (1, None, 1),
        "with Ines": (1, 300.20, 0),
        "missing": (1, 77.0, 0),
    }
    tube = named(found, "Long tube")
    assert (tube.where, tube.holder, tube.due_on) == ("with Ines", "Ines", date(2026, 3, 30))
    assert (tube.place, tube.kit, tube.valued_on) == (SHELF, "Evening kit", None)
    assert (named(found, "Heron").valued_on, named(found, "Heron").valued_by) == (TODAY, "Tomasz")
    assert named(found, "Stop 20").where == "missing since 2026-03-02"


def test_proof_is_photographs_and_receipts(store: Database, now: datetime, tmp_path: Path) -> None:
    photo, receipt = tmp_path / "heron.jpg", tmp_path / "bill.pdf"
    photo.write_bytes(b"a mount")
    receipt.write_bytes(b"")
    add_receipt(store, "Heron", receipt, now, dated_on=date(2020, 3, 1))
    add_photograph(store, "Heron", photo, now)
    found = insurance_list(store, TODAY)
    nothing = (
        "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"  # FIPS 180-4, of no bytes at all
    )
    heron = named(found, "Heron")
    assert [proof.what for proof in heron.proof] == ["photograph", "receipt"]
    assert heron.proof[1] == Proof(what="receipt", file_name="bill.pdf", sha256=nothing, on=date(2020, 3, 1))
    assert found.without_proof == 5


def test_without_a_rule_of_the_club_nothing_is_written_down(store: Database) -> None:
    found = insurance_list(store, TODAY)
    assert not found.depreciates
    assert all(item.written_down is None for item in found.items)


def test_the_clubs_rule_stands_beside_the_value_and_changes_none(store: Database, now: datetime) -> None:
    before = insurance_list(store, TODAY).total.value
    set_rule(store, "depreciation-years", 10, now)
    set_rule(store, "depreciation-floor-percent", 10, now)
    found = insurance_list(store, date(2026, 3, 1))
    # 1200 down to 120 over ten years is 108 a year; six years from 1 March 2020: 1200 - 648.
    heron = named(found, "Heron")
    assert heron.written_down == WrittenDown(
        value=552.0,
        rule="straight line over 10 years, down to 10 % of the cost",
        rule_name="depreciation-years",
        rule_for=None,
        cost=1200.0,
        from_on=date(2020, 3, 1),
        on=date(2026, 3, 1),
    )
    assert (heron.value, found.total.value) == (900.10, before)
    assert (found.total.written_down, found.total.not_written_down) == (552.0, 5)
    assert named(found, "Wide 25").written_down is None  # what it cost is known, but not since when
