"""A full check of a whole database: nothing for a sound one, and of a damaged one no more than can be relied on."""

from datetime import datetime, timedelta
from pathlib import Path

import pytest

from obslog.records.care import checking
from obslog.records.care.checking import look_through
from obslog.records.care.finding import Finding
from obslog.records.database import Database
from obslog.records.engine import make_engine
from tests.records.care.spoilt import spoil
from tests.records.care.test_copy_looked_at import A_LOOSE_NIGHT, flip_in_an_index


@pytest.fixture(autouse=True)
def _a_quiet_place(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever the machine that runs the tests is; the place has tests of its own."""
    monkeypatch.setattr(checking, "surroundings", lambda *_, **__: [])


def found_in(path: Path | str, now: datetime) -> list[Finding]:
    database = Database(make_engine(str(path)), str(path))
    try:
        return look_through(database, now)
    finally:
        database.close()


def test_there_is_nothing_to_find_in_one_record_of_every_table(
    full_database: Database, now: datetime
) -> None:
    assert look_through(full_database, now) == []


def test_the_grave_comes_first(sqlite_path: Path, now: datetime) -> None:
    spoil(sqlite_path, "CREATE TABLE balloons (id TEXT)", A_LOOSE_NIGHT.replace("2026-03-02", "2027-03-02"))
    found = found_in(sqlite_path, now - timedelta(days=9))
    assert [one.grave for one in found] == sorted((one.grave for one in found), reverse=True)
    assert {(one.subject, one.grave) for one in found} == {
        ("references", True), ("values", True), ("schema", False), ("times", False),
    }  # fmt: skip


def test_a_broken_rule_is_told_once_with_its_row(sqlite_path: Path, now: datetime) -> None:
    """SQLite itself says no more than `CHECK constraint failed in sites`."""
    key = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
    spoil(
        sqlite_path, f"INSERT INTO sites (id, name, name_key, lat_deg) VALUES ('{key}', 'Hill', 'hill', 95)"
    )
    (found,) = found_in(sqlite_path, now)
    assert found.what == "1 row of sites with lat_deg outside of -90 to 90."


def test_an_index_at_odds_with_its_table_can_be_made_anew(
    club_file: Path, tmp_path: Path, now: datetime
) -> None:
    path = tmp_path / "club.db"
    path.write_bytes(club_file.read_bytes())
    flip_in_an_index(path)
    found = found_in(path, now)
    assert (found[0].subject, found[0].repairable) == ("damage", True)
    assert any("sqlite_autoindex_members_2" in line for line in found[0].lines)


def test_of_a_damaged_file_nothing_else_is_said(
    club_file: Path, tmp_path: Path, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(*_: object) -> list[Finding]:
        raise AssertionError("a damaged file is read no further")

    path = tmp_path / "club.db"
    path.write_bytes(club_file.read_bytes())
    spoil(path, A_LOOSE_NIGHT)
    monkeypatch.setattr(
        checking, "damage_in_file", lambda _: (["Tree 7 page 9: btreeInitPage() returns"], [])
    )
    monkeypatch.setattr(checking, "drift_found", never)
    (found,) = found_in(path, now)
    assert (found.what, found.repairable, found.count) == ("The file is damaged.", False, 1)
    assert "obslog db restore" in found.advice


def test_what_hangs_on_a_missing_table_is_not_looked_for(sqlite_path: Path, now: datetime) -> None:
    spoil(sqlite_path, "DROP TABLE snags")
    found = found_in(sqlite_path, now)
    assert [one.subject for one in found] == ["schema"]
