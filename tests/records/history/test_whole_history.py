"""Whatever is done, by lot and over many kinds of records: the history tells it, and takes it all back."""

import random
from datetime import datetime
from pathlib import Path

import pytest

from obslog.club.register.undo import redo, undo
from obslog.records.database import Database
from obslog.records.undoing.undo_errors import NothingToRedo, NothingToUndo
from tests.records.history.log_folded import assert_told, on_record
from tests.records.history.random_acts import Acting
from tests.written_once import Rows, put_rows

ACTS = 60


def undo_all(database: Database, now: datetime) -> int:
    """Take back whatever holds, from the newest back; gives how much it was."""
    count = 0
    while True:
        try:
            undo(database, now)
        except NothingToUndo:
            return count
        count += 1


def lived_through(database: Database, now: datetime, folder: Path, seed: int) -> None:
    acting = Acting(database, now, folder, random.Random(seed))
    for number in range(ACTS):
        acting.act()
        if number % 10 == 0:
            assert_told(database)
    assert acting.done > ACTS / 6
    assert_told(database)
    at_the_end = on_record(database)
    count = undo_all(database, acting.now)
    assert on_record(database) == {}
    assert_told(database)
    for _ in range(count):
        redo(database, acting.now)
    assert on_record(database) == at_the_end
    assert_told(database)


@pytest.mark.parametrize("seed", range(4))
def test_the_history_tells_all_and_takes_all_back(
    club: Database, now: datetime, tmp_path: Path, seed: int
) -> None:
    lived_through(club, now, tmp_path, seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(100, 160))
def test_the_history_of_many_clubs_tells_all_and_takes_all_back(
    sqlite_database: Database, club_rows: Rows, now: datetime, tmp_path: Path, seed: int
) -> None:
    put_rows(sqlite_database.engine, club_rows)
    lived_through(sqlite_database, now, tmp_path, seed)


def test_after_all_was_undone_and_done_again_there_is_nothing_more_to_do_again(
    club: Database, now: datetime
) -> None:
    for _ in range(undo_all(club, now)):
        redo(club, now)
    with pytest.raises(NothingToRedo):
        redo(club, now)
