"""The database itself at the keyboard: where it is, a copy, and what is said of a damaged one."""

import shutil
import sqlite3
from contextlib import closing
from datetime import timedelta
from pathlib import Path

from obslog.cli.main import main
from tests.cli.program import Program
from tests.cli.screens import WIDTHS, Shown, screens, shown_by


def test_a_sound_database_is_said_to_be_so(outside: Program) -> None:
    assert outside.must("db", "check").out.splitlines()[0] == "No damage found."
    assert outside.must("db", "where").out.strip() == outside.environment["OBSLOG_DB"]


def test_on_windows_nothing_is_removed_or_replaced_that_is_still_open(
    outside: Program, tmp_path: Path, windows_files: list[str]
) -> None:
    """Copies, going back, a repair, sheets and pages, each a second time over the first where that may be."""
    bundle, pages = tmp_path / "all.obslog", tmp_path / "pages"
    copy = Path(outside.document("db", "backup", "--into", str(tmp_path / "copies"))["copy"])
    outside.must("site", "add", "Quarry", "--lat", "52.3", "--lon", "0.2", "--tz", "Europe/London")
    outside.must(
        "db", "backup", "--into", str(tmp_path / "copies"), "--days", "0", "--weeks", "0", "--months", "0"
    )
    outside.must("bundle", "write", str(bundle))
    outside.must("db", "restore", str(copy), "--yes")
    outside.must("merge", str(bundle))
    assert "Quarry" in outside.must("site", "list").out
    outside.must("db", "check", "--repair")
    outside.must("export", "all", str(tmp_path / "sheets"))
    for _ in range(2):
        outside.must("page", "all", "--out", str(pages))
        outside.must("look", "red")
    assert windows_files == []


def test_what_is_kept_is_computed_again_and_compared(outside: Program) -> None:
    outside.must("night", "end")
    with closing(sqlite3.connect(outside.environment["OBSLOG_DB"])) as file:
        kept, first_stars = file.execute(
            "SELECT count(*), count(*) FILTER (WHERE kind = 'first stars') FROM kept_results"
        ).fetchone()
    assert kept > first_stars == 3  # one for each mount
    answer = outside.must("db", "check")
    assert answer.out.splitlines() == [
        "No damage found.",
        f"{kept} kept results computed again: no difference.",
    ]
    with closing(sqlite3.connect(outside.environment["OBSLOG_DB"])) as file:
        file.execute("UPDATE kept_results SET payload = x'920102' WHERE kind = 'first stars'")
        file.commit()
    answer = outside.must("db", "check")
    assert answer.out.splitlines()[:2] == [
        "No damage found.",
        f"{kept} kept results computed again, and 3 came out otherwise:",
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
    path = outside.environment["OBSLOG_DB"]
    assert answer.error_lines[0] == f"The database is damaged (1 grave finding): {path}"
    assert answer.error_lines[1].endswith("go back to the newest copy that is sound: obslog db restore")
    assert "setups row 1 refers to no nights" in answer.out
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


TABLES = ("sites", "members", "equipment", "nights", "setups", "arrivals")


def rows_in(path: str | Path) -> dict[str, int]:
    """How many rows each table holds, read past the program."""
    with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as file:
        return {table: file.execute(f"SELECT count(*) FROM {table}").fetchone()[0] for table in TABLES}


def test_where_it_is_can_be_put_together_again_at_any_width(outside: Program) -> None:
    path = outside.environment["OBSLOG_DB"]
    for shown in screens(outside.environment, outside.now, "db", "where"):
        assert "".join(shown.lines) == path
        assert shown.notes == ""
    assert outside.document("db", "where") == {"database": path}


def test_a_copy_holds_what_the_database_holds_and_is_named(outside: Program, tmp_path: Path) -> None:
    """The club of the fixtures: 2 sites, 2 members, 3 mounts, a tube, 2 eyepieces and a battery; a night with a set-up,
    a sync and a check."""
    path = outside.environment["OBSLOG_DB"]
    held = {"sites": 2, "members": 2, "equipment": 7, "nights": 1, "setups": 1, "arrivals": 2}
    assert rows_in(path) == held
    for width in WIDTHS:
        copy = tmp_path / f"copy-{width}.db"
        for shown in screens(outside.environment, outside.now, "db", "backup", str(copy), widths=(width,)):
            assert shown.out == ""
            told = "".join(line.strip() for line in shown.err.splitlines())
            assert told.replace("Copied to", "").strip() == str(copy)
        assert rows_in(copy) == held
        assert rows_in(path) == held
        for shown in screens({"OBSLOG_DB": str(copy)}, outside.now, "db", "check", widths=(width,)):
            assert (shown.words.startswith("No damage found."), shown.notes) == (True, "")


def damaged(path: Path, *statements: str) -> None:
    with closing(sqlite3.connect(path)) as file:
        file.execute("PRAGMA foreign_keys=OFF")
        for statement in statements:
            file.execute(statement)
        file.commit()


def check_shown(program: Program, width: int | None) -> Shown:
    """What `db check` shows of a damaged file, where it fails."""

    def run(_screen: object) -> None:
        assert main(("db", "check"), lambda: program.now, program.environment | {"NO_COLOR": "1"}) == 1

    (shown,) = shown_by(run, (width,))
    return shown


def test_each_fault_has_a_line_and_they_are_counted_right(outside: Program, tmp_path: Path) -> None:
    """Without their set-up both arrivals hang on nothing: two lines, with the rows' numbers."""
    path = Path(outside.environment["OBSLOG_DB"])
    sound = shutil.copy(path, tmp_path / "sound.db")
    damaged(path, "DELETE FROM setups")
    for width in WIDTHS:
        shown = check_shown(outside, width)
        assert shown.words == (
            "Grave: Rows refer to records that are not there. arrivals row 1 refers to no setups "
            "arrivals row 2 refers to no setups Something was deleted past the program. "
            "Go back to a copy that still has it: obslog db restore"
        )
        assert shown.notes.startswith("The database is damaged (1 grave finding): ")
    lines = ["arrivals row 1 refers to no setups", "arrivals row 2 refers to no setups"]
    document = outside("db", "check", "--json").document
    assert (document["complaints"], document["kept"], document["repaired"], document["copy"]) == (
        lines, None, [], None,
    )  # fmt: skip
    (finding,) = document["findings"]
    assert (finding["subject"], finding["count"], finding["grave"], finding["repairable"], finding["lines"]) == (
        "references", 2, True, False, lines,
    )  # fmt: skip
    shutil.copy(sound, path)
    assert outside.must("db", "check").out.splitlines()[0] == "No damage found."


def test_how_many_rows_cannot_be_found_is_said_with_the_first(outside: Program) -> None:
    for text in ("loose lead", "flat battery", "dew"):
        outside.must("snag", "add", "power", text)
    path = Path(outside.environment["OBSLOG_DB"])
    with closing(sqlite3.connect(path)) as file:
        keys = [row[0] for row in file.execute("SELECT id FROM snags ORDER BY id")]
    for lost, said in ((1, "1 row"), (3, "3 rows")):
        damaged(path, f"UPDATE snags SET search_text = 'x' WHERE id <= '{keys[lost - 1]}'")
        for width in WIDTHS:
            shown = check_shown(outside, width)
            assert (
                f"{said} of snags cannot be found by the words in them, the first with key {keys[0]}"
                in shown.words
            )


def test_without_a_file_copies_get_their_time_and_the_older_go(outside: Program, tmp_path: Path) -> None:
    path = Path(outside.environment["OBSLOG_DB"])
    copies = path.with_name(f"{path.stem}-copies")
    first = outside.document("db", "backup")
    assert first["copy"] == str(copies / f"{path.stem}-{outside.now:%Y%m%dT%H%M%SZ}.db")
    assert (first["removed"], first["copies"], first["damage"]) == ([], 1, [])
    assert first["rows"]["arrivals"] == 2
    assert first["bytes"] == Path(first["copy"]).stat().st_size
    assert rows_in(first["copy"]) == rows_in(path)
    outside.now += timedelta(days=1)
    answer = outside.must("db", "backup", "--days", "1", "--weeks", "0", "--months", "0")
    assert answer.error_lines[-1] == "Removed 1 older copy."
    assert not Path(first["copy"]).exists()
    outside.environment["OBSLOG_BACKUPS"] = str(tmp_path / "stick")
    assert Path(outside.document("db", "backup")["copy"]).parent == tmp_path / "stick"
    assert Path(outside.document("db", "backup", "--into", str(copies))["copy"]).parent == copies


def test_a_folder_that_is_not_there_is_named_or_said_to_be_new(outside: Program, tmp_path: Path) -> None:
    """A memory stick that is not in looks so."""
    stick = tmp_path / "stick"
    refused = outside("db", "backup", str(stick / "copy.db"))
    assert refused.error_lines == [
        f"The copy {stick / 'copy.db'} cannot be made: there is no folder {stick}.",
        "Nothing was changed. See whether the memory stick is in, or name a folder that is there.",
    ]
    new = f"{stick} is a new folder: if a memory stick was meant, see whether it is in."
    assert outside.must("db", "backup", "--into", str(stick)).error_lines[0] == new
    assert new not in outside.must("db", "backup", "--into", str(stick)).err


def test_a_file_and_a_folder_at_once_are_refused(outside: Program, tmp_path: Path) -> None:
    refused = outside("db", "backup", str(tmp_path / "copy.db"), "--into", str(tmp_path))
    assert (refused.code, len(refused.error_lines)) == (2, 2)
    assert outside("db", "backup", "--days", "-1").code == 2
    assert not (tmp_path / "copy.db").exists()


def test_the_copy_of_a_damaged_database_is_made_and_said_to_be_damaged(
    outside: Program, tmp_path: Path
) -> None:
    damaged(Path(outside.environment["OBSLOG_DB"]), "DELETE FROM setups")
    answer = outside("db", "backup", str(tmp_path / "copy.db"))
    assert answer.code == 1
    assert "The database is damaged, and so is the copy of it." in answer.err
    assert "arrivals row 1 refers to no setups" in answer.err
    assert rows_in(tmp_path / "copy.db") == rows_in(outside.environment["OBSLOG_DB"])
