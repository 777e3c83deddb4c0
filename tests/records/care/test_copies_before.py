"""Copies before upgrades, merges and repairs: the newest of each and the young ones stay; no other file ever goes."""

import json
import sqlite3
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from obslog.errors import ObslogError
from obslog.records.care.copies_before import (
    KEPT_OF_EACH,
    YOUNG,
    copy_before,
    list_beside,
    past_keeping,
    remove_older,
    told_of,
)
from obslog.records.database import Database
from obslog.records.driver_errors import DamagedDatabase, DiskFull
from obslog.records.engine import make_reading_engine
from obslog.records.made_copies import Made


def test_what_goes_before_a_change_is_named_after_it_and_never_in_the_way(
    sqlite_database: Database, now: datetime
) -> None:
    path = Path(sqlite_database.where)
    made = [copy_before(sqlite_database, "merge", now) for _ in range(3)]
    assert made == [
        path.with_name(f"club.before-merge-20260302T214000Z{number}.db") for number in ("", "-2", "-3")
    ]
    assert all(copy is not None and copy.exists() for copy in made)


def test_before_a_change_on_a_server_nothing_is_copied(postgres_database: Database, now: datetime) -> None:
    assert copy_before(postgres_database, "merge", now) is None


def test_a_database_that_can_only_be_read_has_no_room_for_a_copy_beside_it(
    sqlite_path: Path, now: datetime
) -> None:
    database = Database(make_reading_engine(sqlite_path), str(sqlite_path), only_read=True)
    with pytest.raises(DiskFull, match=r"club\.db"):
        copy_before(database, "merge", now)
    database.close()


def made_on(database: Database, what: str, now: datetime, *days_ago: int) -> list[Path]:
    copies = [copy_before(database, what, now - timedelta(days=days)) for days in days_ago]
    assert all(copy is not None for copy in copies)
    return [copy for copy in copies if copy is not None]


def test_of_the_old_ones_the_newest_five_of_each_occasion_stay(
    sqlite_database: Database, sqlite_path: Path, now: datetime
) -> None:
    merges = made_on(sqlite_database, "merge", now, 90, 80, 70, 60, 50, 40, 0)
    upgrades = made_on(sqlite_database, "0014", now, 700, 600) + made_on(sqlite_database, "0015", now, 500)
    assert (KEPT_OF_EACH, YOUNG.days) == (5, 14)
    assert remove_older(sqlite_path, merges[-1], now) == [merges[1], merges[0]]
    assert all(copy.exists() for copy in (*merges[2:], *upgrades))
    assert sorted(one["file"] for one in json.loads(list_beside(sqlite_path).read_text())) == sorted(
        copy.name for copy in (*merges[2:], *upgrades)
    )
    assert remove_older(sqlite_path, merges[-1], now) == []


def test_upgrades_to_whatever_revision_are_one_occasion(
    sqlite_database: Database, sqlite_path: Path, now: datetime
) -> None:
    copies = [
        copy
        for n in range(7)
        for copy in made_on(sqlite_database, f"00{n + 10}", now, 100 - n if n < 6 else 0)
    ]
    assert remove_older(sqlite_path, copies[-1], now) == [copies[1], copies[0]]


def test_those_of_the_last_fourteen_days_stay_however_many(
    sqlite_database: Database, sqlite_path: Path, now: datetime
) -> None:
    copies = made_on(sqlite_database, "merge", now, 14, 13, 12, 11, 10, 9, 8, 0)
    assert remove_older(sqlite_path, copies[-1], now) == [copies[0]]
    early = now - timedelta(days=30)  # a clock that was set back
    assert remove_older(sqlite_path, copies[-1], early) == []


def test_what_was_changed_or_replaced_or_made_by_hand_stays_and_counts_for_nothing(
    sqlite_database: Database, sqlite_path: Path, now: datetime
) -> None:
    """Of seven copies one was written to and one deleted: five are left as they were made, and none may go."""
    copies = made_on(sqlite_database, "merge", now, 90, 80, 70, 60, 50, 40, 0)
    with copies[2].open("ab") as file:
        file.write(b"noted by hand")
    copies[3].unlink()
    aside = sqlite_path.with_name("club.before-restore-20200101T000000Z.db")
    aside.write_bytes(copies[0].read_bytes())
    by_hand = sqlite_path.with_name("club.before-merge-20200101T000000Z.db")
    by_hand.write_bytes(copies[0].read_bytes())
    assert remove_older(sqlite_path, copies[-1], now) == []
    copies += made_on(sqlite_database, "merge", now, 0)
    assert remove_older(sqlite_path, copies[-1], now) == [copies[0]]
    assert all(file.exists() for file in (copies[2], aside, by_hand))


def test_a_damaged_database_costs_no_older_copy(
    sqlite_database: Database, sqlite_path: Path, now: datetime
) -> None:
    copies = made_on(sqlite_database, "merge", now, 90, 80, 70, 60, 50, 40)
    with closing(sqlite3.connect(sqlite_path)) as file:
        file.execute("INSERT INTO nights (id, site_id, night_of, open) VALUES ('1', 'none', '2026-03-02', 0)")
        file.commit()
    damaged = copy_before(sqlite_database, "repair", now, even_damaged=True)
    assert damaged is not None
    assert remove_older(sqlite_path, damaged, now) == []
    assert all(copy.exists() for copy in copies)


def test_a_copy_that_cannot_be_listed_is_not_left_behind(
    sqlite_database: Database, sqlite_path: Path, now: datetime
) -> None:
    list_beside(sqlite_path).mkdir()
    with pytest.raises(ObslogError):
        copy_before(sqlite_database, "merge", now)
    assert list(sqlite_path.parent.glob("club.before-*")) == []


def test_what_is_damaged_is_no_ground_for_a_merge(
    sqlite_database: Database, sqlite_path: Path, now: datetime
) -> None:
    with closing(sqlite3.connect(sqlite_path)) as file:
        file.execute("INSERT INTO nights (id, site_id, night_of, open) VALUES ('1', 'none', '2026-03-02', 0)")
        file.commit()
    with pytest.raises(DamagedDatabase, match=r"club\.db is damaged"):
        copy_before(sqlite_database, "merge", now)
    assert list(sqlite_path.parent.glob("club.before-*")) == []


def test_other_databases_in_the_folder_keep_their_copies(
    sqlite_database: Database, sqlite_path: Path, now: datetime
) -> None:
    copies = made_on(sqlite_database, "merge", now, 90, 80, 70, 60, 50, 40, 0)
    place = list_beside(sqlite_path)
    listed = json.loads(place.read_text())
    place.write_text(json.dumps([{**one, "of": "/elsewhere/club.db"} for one in listed]))
    assert remove_older(sqlite_path, copies[-1], now) == []
    place.write_text("not a list")
    assert remove_older(sqlite_path, copies[-1], now) == []


def test_only_as_many_as_are_kept_are_never_looked_into(tmp_path: Path, now: datetime) -> None:
    ours = [
        Made(
            file=f"club.before-merge-2020010{n}T000000Z.db",
            of="",
            machine="",
            made_utc=f"2020-01-0{n}T00:00:00+00:00",
            sha256="",
        )
        for n in range(1, 6)
    ]
    assert past_keeping(ours, tmp_path, now) == []


def test_what_was_removed_is_told_with_what_is_kept() -> None:
    assert told_of([1]) == (
        "1 older copy from before upgrades, merges or repairs was removed; the newest 5 of each are kept, and those of "
        "the last 14 days."
    )
    assert told_of([1, 2]).startswith("2 older copies from before upgrades, merges or repairs were removed")
