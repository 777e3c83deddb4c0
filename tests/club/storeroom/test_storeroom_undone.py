"""Whatever the officer does in the store-room can be taken back, and done again: every table is then as it was."""

from collections.abc import Callable
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select

from obslog.club.night.snags import add_snag
from obslog.club.register.undo import redo, undo
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.kits import add_kit
from obslog.club.storeroom.loans import lend
from obslog.club.storeroom.missing import be_found, go_missing
from obslog.club.storeroom.proof_files import add_photograph
from obslog.club.storeroom.retirement import reinstate, retire, write_off
from obslog.club.upkeep.batteries import note_test
from obslog.club.upkeep.service_bills import Bill
from obslog.club.upkeep.services import add_service
from obslog.records.database import Database
from obslog.records.tables.schema import metadata
from obslog.vocabulary.steps import Step

Act = Callable[[Database, datetime, Path], object]
RECORD_OF_ACTS = ("acts", "changes")
DERIVED = ("kept_results", "mount_changes")  # of which an undoing is one change more


def whole(database: Database) -> dict[str, list[Any]]:
    """Every row of every table but the record of acts itself, and what is made from the others."""
    with database.engine.connect() as connection:
        return {
            table.name: sorted(map(repr, connection.execute(select(table)).all()))
            for table in metadata.sorted_tables
            if table.name not in RECORD_OF_ACTS + DERIVED
        }


def note(club: Database, now: datetime, _file: Path) -> object:
    values = {"tag": "M-01", "value": 900.0, "acquired_on": date(2020, 1, 1), "place": "shelf 2"}
    return write_paper(club, "Heron", values, now)


def change_a_note(club: Database, now: datetime, _file: Path) -> object:
    return write_paper(club, "Stop 20", {"tag": None, "value": 70.0}, now)


def photograph(club: Database, now: datetime, file: Path) -> object:
    return add_photograph(club, "Heron", file, now, taken_on=now.date())


def lose_in_the_store(club: Database, now: datetime, _file: Path) -> None:
    go_missing(club, "Long tube", now)


def lose_on_loan(club: Database, now: datetime, _file: Path) -> None:
    go_missing(club, "Wide 25", now, lost_on_loan=True)


def find(club: Database, now: datetime, _file: Path) -> None:
    be_found(club, "Stop 20", now)


def write_off_in_the_store(club: Database, now: datetime, _file: Path) -> None:
    write_off(club, "Stop 20", "trodden on", now)


def write_off_on_loan(club: Database, now: datetime, _file: Path) -> None:
    write_off(club, "Bracken", "left on a car roof", now, lost_on_loan=True)


def take_into_use(club: Database, now: datetime, _file: Path) -> None:
    reinstate(club, "Thistle", now)


def serve(club: Database, now: datetime, _file: Path) -> object:
    bill = Bill(cost=12.5, parts="grease", next_in_months=6, next_after_nights=30, next_when="it plays")
    return add_service(
        club, "mount", "Bracken", "greased", now, on=now.date(), by="Ines", mechanical=True, bill=bill,
        tasks=["grease", "cables"], mends=["cables"],
    )  # fmt: skip


def try_a_battery(club: Database, now: datetime, _file: Path) -> object:
    return note_test(club, "Lead battery", now, rest_volts=12.6, load_volts=11.9, capacity_percent=55)


ACTS: list[Act] = [
    note,
    change_a_note,
    photograph,
    lose_in_the_store,
    lose_on_loan,
    find,
    write_off_in_the_store,
    write_off_on_loan,
    take_into_use,
    serve,
    try_a_battery,
]


@pytest.fixture
def store(club: Database, now: datetime) -> Database:
    """A kit is out, a mount is out alone with an open snag, an eyepiece is missing, a mount is retired."""
    then = now - timedelta(days=20)
    add_kit(club, "Evening kit", ["Heron", "Wide 25", "dust cap"], then)
    lend(club, "Evening kit", "Ines", then)
    lend(club, "Bracken", "Bram Ostler", then)
    add_snag(club, Step.CABLES, "plug loose", then, mount="Bracken")
    write_paper(club, "Stop 20", {"tag": "E-02", "value": 60.0}, then)
    go_missing(club, "Stop 20", then)
    retire(club, "mount", "Thistle", "worn", then.date(), then)
    return club


@pytest.mark.parametrize("act", ACTS, ids=lambda act: act.__name__)
def test_an_act_is_taken_back_without_a_trace_and_done_again(
    store: Database, now: datetime, tmp_path: Path, act: Act
) -> None:
    file = tmp_path / "heron.jpg"
    file.write_bytes(b"not really a picture")
    before = whole(store)
    act(store, now, file)
    after = whole(store)
    assert after != before
    undo(store, now)
    assert whole(store) == before
    redo(store, now)
    assert whole(store) == after
