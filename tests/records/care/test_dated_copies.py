"""Copies by date: the newest of each day, week and month is kept, and only what was made here is ever removed."""

import json
import os
import platform
import stat
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from obslog.errors import OutOfRange
from obslog.records.care.copying import ServerBackup
from obslog.records.care.dated_copies import LIST, DatedCopy, Keep, back_up_dated, to_keep
from obslog.records.database import Database
from obslog.records.engine import make_reading_engine
from obslog.records.files.copies import folder_beside
from tests.records.care.test_copying import add_sites

SUNDAY = datetime(2026, 3, 1, 12, tzinfo=UTC)
ONLY_NEWEST = Keep(days=1, weeks=0, months=0)


def day(text: str) -> datetime:
    return datetime.fromisoformat(f"{text}T12:00+00:00")


def days(found: set[datetime]) -> list[str]:
    return sorted(f"{at:%Y-%m-%d}" for at in found)


def test_the_newest_of_each_of_the_last_days_that_have_one_is_kept() -> None:
    times = [day(text) for text in ("2026-01-05", "2026-02-10", "2026-02-11", "2026-03-01")]
    assert days(to_keep(times, Keep(days=2, weeks=0, months=0))) == ["2026-02-11", "2026-03-01"]
    assert days(to_keep(times, Keep(days=9, weeks=0, months=0))) == days(set(times))


def test_weeks_are_counted_from_monday_and_months_by_the_calendar() -> None:
    """The 23rd of February 2026 is a Monday and the 1st of March the Sunday after it, so in the same week."""
    assert day("2026-02-23").weekday() == 0
    times = [day(text) for text in ("2026-02-22", "2026-02-23", "2026-02-25", "2026-03-01")]
    assert days(to_keep(times, Keep(days=0, weeks=2, months=0))) == ["2026-02-22", "2026-03-01"]
    assert days(to_keep(times, Keep(days=0, weeks=0, months=2))) == ["2026-02-25", "2026-03-01"]


def test_the_newest_is_kept_whatever_is_asked_and_what_is_less_than_a_day_older() -> None:
    hours = [SUNDAY - timedelta(hours=hours) for hours in (0, 1, 23, 24)]
    assert to_keep(hours, Keep(days=0, weeks=0, months=0)) == set(hours[:3])
    assert to_keep([], Keep()) == set()


def test_two_years_of_daily_copies_leave_what_was_asked_for() -> None:
    """From the last day of 2026, a Thursday, back: 7 days, then 4 Sundays before them, then 10 ends of months."""
    last = day("2026-12-31")
    kept = days(to_keep([last - timedelta(days=n) for n in range(730)], Keep(days=7, weeks=5, months=12)))
    sundays = ["2026-12-06", "2026-12-13", "2026-12-20"]
    week = [f"2026-12-{n}" for n in range(25, 32)]
    ends = ["01-31", "02-28", "03-31", "04-30", "05-31", "06-30", "07-31", "08-31", "09-30", "10-31", "11-30"]
    assert kept == sorted([*(f"2026-{end}" for end in ends), *sundays, *week])


def make(database: Database, folder: Path, at: datetime, keep: Keep = ONLY_NEWEST) -> DatedCopy:
    return back_up_dated(database.engine, folder, at, keep)


def names(folder: Path) -> list[str]:
    return sorted(file.name for file in folder.iterdir())


def test_a_copy_is_dated_and_listed_and_the_folder_private(sqlite_database: Database, now: datetime) -> None:
    folder = folder_beside(Path(sqlite_database.where))
    made = make(sqlite_database, folder, now)
    assert folder.name == "club-copies"
    assert names(folder) == ["club-20260302T214000Z.db", LIST]
    assert (made.copied.file, made.removed, made.kept) == (folder / "club-20260302T214000Z.db", [], 1)
    assert made.copied.rows["sites"] == 0
    if os.name == "posix":
        assert stat.S_IMODE(folder.stat().st_mode) == 0o700
        assert {stat.S_IMODE(file.stat().st_mode) for file in folder.iterdir()} == {0o600}
    make(sqlite_database, folder, now)
    assert names(folder) == ["club-20260302T214000Z-2.db", "club-20260302T214000Z.db", LIST]


def test_older_copies_are_removed_and_taken_off_the_list(sqlite_database: Database, tmp_path: Path) -> None:
    made = [make(sqlite_database, tmp_path / "copies", SUNDAY + timedelta(days=n)) for n in range(3)]
    assert [copy.removed for copy in made[1:]] == [[made[0].copied.file], [made[1].copied.file]]
    assert names(tmp_path / "copies") == [made[2].copied.file.name, LIST]
    assert [entry["file"] for entry in json.loads((tmp_path / "copies" / LIST).read_text())] == [
        made[2].copied.file.name
    ]


def test_a_database_on_a_full_disk_is_copied_elsewhere_as_the_same(
    sqlite_database: Database, sqlite_path: Path, tmp_path: Path
) -> None:
    """It is opened in another way then, by which its file is named otherwise."""
    make(sqlite_database, tmp_path / "copies", SUNDAY, Keep())
    sqlite_database.close()
    reading = Database(make_reading_engine(sqlite_path), str(sqlite_path), only_read=True)
    made = make(reading, tmp_path / "copies", SUNDAY + timedelta(days=1), Keep())
    reading.close()
    assert (made.copied.file.name, made.kept) == ("club-20260302T120000Z.db", 2)


def test_only_what_was_made_here_and_is_as_it_was_made_is_ever_removed(
    sqlite_database: Database, tmp_path: Path
) -> None:
    folder = tmp_path / "copies"
    changed, swapped, plain = (
        make(sqlite_database, folder, SUNDAY + timedelta(days=n), Keep()).copied.file for n in range(3)
    )
    with changed.open("ab") as file:
        file.write(b"noted by hand")
    swapped.unlink()
    swapped.symlink_to(changed)
    by_hand = folder / "club-20200101T000000Z.db"
    by_hand.write_bytes(plain.read_bytes())
    made = make(sqlite_database, folder, SUNDAY + timedelta(days=9))
    assert made.removed == [plain]
    assert names(folder) == sorted([changed.name, swapped.name, by_hand.name, made.copied.file.name, LIST])


@pytest.mark.parametrize(
    "listed",
    ["not JSON", "{}", '[{"file": 3}]', "[" * 9000, '[{"file": "../club.db", "of": "", "machine": "", '
     '"made_utc": "2020-01-01T00:00:00+00:00", "sha256": ""}]'],
)  # fmt: skip
def test_a_list_that_is_none_removes_nothing(sqlite_database: Database, tmp_path: Path, listed: str) -> None:
    folder = tmp_path / "copies"
    old = make(sqlite_database, folder, SUNDAY).copied.file
    (folder / LIST).write_text(listed)
    assert make(sqlite_database, folder, SUNDAY + timedelta(days=9)).removed == []
    assert old.exists()


def test_each_database_and_machine_removes_its_own_copies_alone(
    sqlite_database: Database, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "copies"
    monkeypatch.setattr(platform, "node", lambda: "another laptop")
    theirs = make(sqlite_database, folder, SUNDAY).copied.file
    monkeypatch.undo()
    mine = make(sqlite_database, folder, SUNDAY + timedelta(days=3))
    assert (mine.removed, mine.kept) == ([], 1)
    assert theirs.exists()


def test_a_damaged_database_costs_no_older_copy(
    sqlite_database: Database, tmp_path: Path, now: datetime
) -> None:
    add_sites(sqlite_database, now, 1)
    good = make(sqlite_database, tmp_path / "copies", SUNDAY).copied.file
    with sqlite_database.engine.connect() as connection:
        raw = connection.connection.driver_connection
        assert raw is not None
        raw.execute("PRAGMA foreign_keys=OFF")
        raw.execute("INSERT INTO nights (id, site_id, night_of, open) VALUES ('1', 'none', '2026-03-02', 0)")
        raw.execute("PRAGMA foreign_keys=ON")
    for number in range(1, 4):
        made = make(sqlite_database, tmp_path / "copies", SUNDAY + timedelta(days=number))
        assert made.copied.damage == ["nights row 1 refers to no sites"]
        assert made.removed == []
    assert good.exists()


def test_a_number_out_of_range_and_a_server_are_refused_before_anything_is_made(
    sqlite_database: Database, postgres_database: Database, tmp_path: Path
) -> None:
    with pytest.raises(OutOfRange):
        make(sqlite_database, tmp_path / "copies", SUNDAY, Keep(days=-1))
    with pytest.raises(ServerBackup):
        make(postgres_database, tmp_path / "copies", SUNDAY)
    assert not (tmp_path / "copies").exists()
