"""What is kept about a member is told on the screen and in a file that only the officer can read."""

import json
import stat
from pathlib import Path

from tests.cli.program import Program


def test_the_screen_the_page_and_the_document_tell_the_same(in_club: Program, tmp_path: Path) -> None:
    in_club.must("member", "contact", "Ines", "--phone", "01632 960 417")
    screen = in_club.must("member", "tell", "Ines").out
    page, document = tmp_path / "ines.html", tmp_path / "ines.json"
    for file in (page, document):
        told = in_club.must("member", "tell", "Ines", "--out", str(file))
        assert (told.out, f"Written: {file}" in told.err) == ("", True)
        assert stat.S_IMODE(file.stat().st_mode) == 0o600
    whole = json.loads(document.read_text(encoding="utf-8"))
    assert whole == json.loads(in_club.must("member", "tell", "Ines", "--json").out)
    for text in (screen, page.read_text(encoding="utf-8"), document.read_text(encoding="utf-8")):
        assert "01632 960 417" in text
        assert "How you are reached" in text
        assert "So that the officer can ask for what is due" in text


def test_a_file_that_is_there_stays_unless_it_is_to_be_written_over(in_club: Program, tmp_path: Path) -> None:
    for name in ("a.html", "a.json"):
        file = tmp_path / name
        file.write_text("mine")
        assert in_club("member", "tell", "Ines", "--out", str(file)).code == 1
        assert file.read_text() == "mine"
        in_club.must("member", "tell", "Ines", "--out", str(file), "--overwrite")
        assert file.read_text() != "mine"


def test_another_ending_is_wrong_input(in_club: Program, tmp_path: Path) -> None:
    answer = in_club("member", "tell", "Ines", "--out", str(tmp_path / "ines.txt"))
    assert answer.code == 2
    assert ".html or .json" in answer.error_lines[-1]


def test_leavers_are_listed_with_the_command_that_removes_the_first(in_club: Program) -> None:
    assert in_club.must("member", "leavers").out == "Nobody who left is on record by name.\n"
    in_club.must("member", "retire", "Bram Ostler", "--on", "2024-01-15")
    out = in_club.must("member", "leavers").out
    assert "2026-01-15" in out
    assert 'obslog member leave "Bram Ostler" --look' in out


def test_after_leaving_this_machine_knows_the_name_no_more(in_club: Program) -> None:
    in_club.must("member", "me", "Bram Ostler")
    lines = Path(f"{in_club.environment['OBSLOG_DB']}.prompt-lines")
    lines.write_text("sy vega 3E2N\nsnag level by bram  ostler\n", encoding="utf-8")
    in_club.must("member", "leave", "Bram Ostler", "--look")
    assert "Bram Ostler" in in_club.must("member", "me").out
    told = in_club.must("member", "leave", "Bram Ostler", "--yes")
    assert "Nobody has said who you are" in in_club.must("member", "me").err
    assert lines.read_text(encoding="utf-8") == "sy vega 3E2N\n"
    assert "1 line" in told.err
    assert "Bram" not in told.out
