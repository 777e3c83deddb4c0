"""Going back to a copy at the keyboard: what would be lost is said first, and nothing is done without a yes."""

import shutil
import sys
from datetime import timedelta
from pathlib import Path

import pytest

from obslog.records.opening import open_database
from obslog.settings import default_database_path
from tests.cli.program import Program, Terminal
from tests.cli.screens import WIDTHS, screens


@pytest.fixture
def copy(outside: Program, tmp_path: Path) -> Path:
    """A copy of the evening before a site and a snag more came on record."""
    place = tmp_path / "copy.db"
    outside.must("db", "backup", str(place))
    outside.must("site", "add", "Quarry", "--lat", "52.3", "--lon", "0.2", "--tz", "Europe/London")
    outside.must("snag", "add", "power", "flat battery")
    return place


def sites(program: Program) -> list[str]:
    return [site["name"] for site in program.document("site", "list")]


def test_looking_says_what_would_be_lost(outside: Program, copy: Path) -> None:
    shown = outside.must("db", "restore", str(copy), "--look").out
    assert shown.startswith(f"Nothing was changed. The copy is {copy}.\n")
    assert "2 acts of now would be lost:\n- 2026-03-02 21:40 UTC " in shown.replace("  ", "")
    assert "add site Quarry" in shown
    assert "sites: 3 now, 2 in the copy (1 lost)" in shown
    assert "snags: 1 now, 0 in the copy (1 lost)" in shown
    assert "Quarry" in sites(outside)
    document = outside.document("db", "restore", str(copy), "--look")
    assert (document["done"], document["kept"], document["apart"]["lost"]["acts"]) == (False, None, 2)
    assert document["copy"] == str(copy)


def test_with_yes_it_is_done_and_the_file_of_before_named(outside: Program, copy: Path) -> None:
    shown = outside.must("db", "restore", str(copy), "--yes").out
    assert "2 acts of now are lost:" in shown
    assert "Quarry" not in sites(outside)
    kept = Path(shown.splitlines()[-1].removeprefix("The file of before is kept: "))
    assert kept.parent == Path(outside.environment["OBSLOG_DB"]).parent
    outside.environment["OBSLOG_DB"] = str(kept)
    assert "Quarry" in sites(outside)
    assert outside.must("db", "check").out.startswith("No damage found.")


def test_going_back_and_forward_again_ends_where_it_began(outside: Program, copy: Path) -> None:
    first = outside.document("db", "restore", str(copy), "--yes")
    back = outside.document("db", "restore", first["kept"], "--yes")
    assert back["apart"]["comes_back"]["acts"] == 2
    assert back["apart"]["lost"]["acts"] == 0
    assert "Quarry" in sites(outside)


def test_without_a_terminal_it_asks_for_yes_and_at_one_for_a_word(
    outside: Program, copy: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    refused = outside("db", "restore", str(copy))
    assert refused.code == 2
    assert refused.error_lines[-1] == "Confirm it with --yes."
    assert any("would be lost" in line for line in refused.error_lines)
    for typed, code in (("no\n", 1), ("yes\n", 0)):
        keyboard = Terminal(typed)
        monkeypatch.setattr(sys, "stdin", keyboard)
        assert outside("db", "restore", str(copy)).code == code
        assert ("Quarry" in sites(outside)) is (code == 1)


def test_a_copy_that_is_none_and_a_server_are_told_in_two_lines(outside: Program, copy: Path) -> None:
    before = Path(outside.environment["OBSLOG_DB"]).read_bytes()
    copy.write_bytes(copy.read_bytes()[:-1])
    refused = outside("db", "restore", str(copy), "--yes")
    assert (refused.code, len(refused.error_lines)) == (1, 2)
    assert "cut short: 1 byte is missing at its end." in refused.err
    assert Path(outside.environment["OBSLOG_DB"]).read_bytes() == before
    outside.environment["OBSLOG_DB"] = "postgresql+psycopg://somebody@localhost/nowhere"
    refused = outside("db", "restore", str(copy), "--yes")
    assert (refused.code, len(refused.error_lines)) == (1, 2)
    assert "pg_restore" in refused.err


def test_a_database_that_cannot_be_read_is_told_and_replaced(outside: Program, copy: Path) -> None:
    path = Path(outside.environment["OBSLOG_DB"])
    path.write_bytes(b"frost" * 2000)
    shown = outside.must("db", "restore", str(copy), "--yes").out
    assert "What is lost cannot be told, for the database cannot be read: file is not a database." in shown
    assert len(sites(outside)) == 2
    path.unlink()
    assert "nothing is lost." in outside.must("db", "restore", str(copy), "--yes").out
    assert "Nothing that is on record now is lost." in outside.must("db", "restore", str(copy), "--yes").out


def test_a_database_that_is_open_is_refused(outside: Program, copy: Path) -> None:
    opened = open_database(outside.environment["OBSLOG_DB"], outside.now, print)
    with opened.read() as session:
        session.connection()
        refused = outside("db", "restore", str(copy), "--yes")
    opened.close()
    assert (refused.code, len(refused.error_lines)) == (1, 2)
    assert "prompt" in refused.err


def test_what_is_lost_can_be_read_at_any_width(outside: Program, copy: Path) -> None:
    for shown in screens(
        outside.environment, outside.now, "db", "restore", str(copy), "--look", widths=WIDTHS
    ):
        assert "2 acts of now would be lost:" in shown.words
        assert "sites: 3 now, 2 in the copy (1 lost)" in shown.words
        assert shown.notes == ""


def test_the_copy_of_an_upgrade_is_one_to_go_back_to(outside: Program, copy: Path, tmp_path: Path) -> None:
    older = Path(shutil.copy(copy, tmp_path / "older.db"))
    from alembic import command

    from tests.records.developers import on_database

    on_database(str(older), command.downgrade, "0010")
    shown = outside.must("db", "restore", str(older), "--yes")
    assert "The copy is of an older obslog: the next command brings it up to date" in shown.out
    assert "Upgraded" in outside.must("site", "list").err


def test_without_a_name_the_newest_sound_copy_that_was_made_here_is_named(
    outside: Program, copy: Path
) -> None:
    none = outside("db", "restore")
    database = outside.environment["OBSLOG_DB"]
    assert (none.code, none.err.splitlines()[-2:]) == (
        2,
        [
            f"Which copy? None of {database} with the time in its name is here.",
            "Name one that you made, here or on your memory stick: obslog db restore FILE --look",
        ],
    )
    outside.must("db", "backup")
    outside.now += timedelta(hours=1)
    newest = outside.document("db", "backup")["copy"]
    shutil.copy(copy, Path(newest).with_name("club-by-hand.db"))
    told = outside("db", "restore").err.splitlines()
    assert told == [
        f"Which copy? The newest of {database} here is {newest}.",
        f"See what it would change: obslog db restore {newest} --look",
    ]
    outside.environment["OBSLOG_BACKUPS"] = str(copy.parent / "nothing there")
    assert outside("db", "restore").err == none.err


def test_where_the_file_was_lost_its_newest_copy_is_told_with_the_new_one(
    outside: Program, copy: Path
) -> None:
    newest = outside.document("db", "backup")["copy"]
    database = Path(outside.environment["OBSLOG_DB"])
    database.unlink()
    told = outside.must("site", "list").err.splitlines()
    assert told[:2] == [
        f"New database: {database}",
        f"An earlier club.db is gone. To go back to its newest copy: obslog db restore {newest}",
    ]
    assert "Quarry" not in sites(outside)
    outside.must("db", "restore", newest, "--yes")
    assert "Quarry" in sites(outside)


def test_on_a_new_computer_a_copy_is_put_where_the_records_belong(
    outside: Program, copy: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    known = sites(outside)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    del outside.environment["OBSLOG_DB"]
    place = default_database_path()
    assert place.is_relative_to(tmp_path)
    assert "nothing is lost" in outside.must("db", "restore", str(copy), "--look").out
    assert outside("db", "restore", str(copy.with_name("none.db")), "--yes").code == 1
    assert not (tmp_path / "data").exists()
    outside.must("db", "restore", str(copy), "--yes")
    assert place.is_file()
    assert place.parent.stat().st_mode & 0o777 == 0o700
    assert sites(outside) == [site for site in known if site != "Quarry"]
