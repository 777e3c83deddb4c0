"""The database itself at the keyboard: where it is, a copy, and what is said of a damaged one."""

import sqlite3
from contextlib import closing
from pathlib import Path

from tests.cli.program import Program


def test_a_sound_database_is_said_to_be_so(outside: Program) -> None:
    assert outside.must("db", "check").out == "No damage found.\n"
    assert outside.must("db", "where").out.strip() == outside.environment["OBSLOG_DB"]


def test_what_is_kept_is_computed_again_and_compared(outside: Program) -> None:
    outside.must(
        "night", "end"
    )  # of Heron five results, of each of the other two three, and whose the errors are
    answer = outside.must("db", "check")
    assert answer.out.splitlines() == ["No damage found.", "12 kept results computed again: no difference."]
    with closing(sqlite3.connect(outside.environment["OBSLOG_DB"])) as file:
        file.execute("UPDATE kept_results SET payload = x'920102' WHERE kind = 'first stars'")
        file.commit()
    answer = outside.must("db", "check")
    assert answer.out.splitlines()[:2] == [
        "No damage found.",
        "12 kept results computed again, and 3 came out otherwise:",
    ]
    assert answer.out.splitlines()[2].strip().startswith("first stars of ")
    assert "No record was touched." in answer.out
    assert outside.must("db", "check").out == "No damage found.\n", "all that was kept is dropped"
    assert outside.must("db", "check", "--json").document["kept"] == {"computed_again": 0, "differ": []}


def test_damage_is_told_with_what_to_do_and_gives_an_exit_code_of_its_own(outside: Program) -> None:
    with closing(sqlite3.connect(outside.environment["OBSLOG_DB"])) as file:
        file.execute("PRAGMA foreign_keys=OFF")
        file.execute("DELETE FROM nights")  # the set-up of that night now hangs on nothing
        file.commit()
    answer = outside("db", "check")
    assert answer.code == 1
    assert answer.error_lines[0] == "The database is damaged."
    assert "setups" in answer.err
    assert "newest copy" in answer.err
    assert "No damage found" not in answer.out
    told = outside("db", "check", "--json")
    assert told.code == 1
    assert any("setups" in complaint for complaint in told.document["complaints"])


def test_a_copy_is_told_and_never_takes_the_place_of_a_file(outside: Program, tmp_path: Path) -> None:
    copy = tmp_path / "copy.db"
    assert f"Copied to {copy}" in outside.must("db", "backup", str(copy)).err
    before = copy.read_bytes()
    outside.must("night", "end")
    refused = outside("db", "backup", str(copy))
    assert refused.code != 0
    assert len(refused.error_lines) == 2
    assert copy.read_bytes() == before
