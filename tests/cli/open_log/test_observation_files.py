"""Observations as files through the program: a sheet or a log by the ending of its name."""

import json
from pathlib import Path

import pytest

from tests.cli.program import Program


@pytest.fixture
def seen(in_club: Program, tmp_path: Path) -> Program:
    sheet = tmp_path / "seen.csv"
    sheet.write_text(
        "night,time,site,object,observer,notes\n2026-03-01,21:05,Mill Field,M81,Ines,oval glow\n"
        "2026-03-01,21:15,Mill Field,M3,Bram Ostler,\n",
        encoding="utf-8",
    )
    answer = in_club("import", "observations", str(sheet))
    assert answer.out == "seen.csv: 2 observations new, 0 changed; 0 on record as they are.\n"
    return in_club


def test_a_log_goes_out_and_comes_back_without_a_change(seen: Program, tmp_path: Path) -> None:
    file = tmp_path / "log.xml"
    answer = seen("export", "observations", str(file))
    assert (answer.code, answer.out) == (0, "")
    assert f"2 observations written to {file}" in answer.err
    assert "rounded to 0.1° and 100 m" in answer.err
    back = seen("import", "observations", str(file))
    assert back.out == "log.xml: 0 observations new; 2 on record as they are.\n"


def test_a_look_shows_each_observation_and_what_would_be_made(seen: Program, tmp_path: Path) -> None:
    file = tmp_path / "log.xml"
    seen("export", "observations", str(file), "--member", "Ines")
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("<name>Ines</name>", "<name>Cleo</name>").replace("observation-", "o-"))
    answer = seen("import", "observations", str(file), "--look")
    head, row, count, made = answer.out.splitlines()
    assert head == "line\tobservation\tis\twith"
    assert row.split("\t")[1:] == ["M 81", "new", "2026-03-01 21:05Z at Mill Field"]
    assert count == "log.xml: 1 observation would be new; 0 on record as they are."
    assert made == "Would be new on record: member Cleo."
    assert "Nothing was changed." in answer.err
    assert "Cleo" not in seen("member", "list").out


def test_a_log_with_a_fault_is_refused_and_said_by_its_line(seen: Program, tmp_path: Path) -> None:
    file = tmp_path / "log.xml"
    file.write_text("<observations>\n<observation><begin>soon</begin></observation></observations>")
    answer = seen("import", "observations", str(file))
    assert answer.code == 2
    assert "line 2: begin: 'soon' is not a date and a time." in answer.err
    looked = seen("import", "observations", str(file), "--look")
    assert "nothing can be before 1 line is put right" in looked.err


def test_a_harmful_file_gives_two_lines_and_no_traceback(seen: Program, tmp_path: Path) -> None:
    file = tmp_path / "log.xml"
    file.write_text('<!DOCTYPE o [<!ENTITY a SYSTEM "file:///etc/passwd">]><observations>&a;</observations>')
    answer = seen("import", "observations", str(file))
    assert answer.code == 2
    assert len(answer.error_lines) == 2
    assert "refers to something outside of it" in answer.err


def test_scripts_get_what_came_of_it(seen: Program, tmp_path: Path) -> None:
    file = tmp_path / "log.xml"
    written = json.loads(seen("export", "observations", str(file), "--json").out)
    assert written["observations"] == 2
    told = seen("import", "observations", str(file), "--look", "--json").document
    assert (told["file"], told["new"], told["same"], told["looked_only"], told["made"]) == (
        "log.xml",
        0,
        2,
        True,
        [],
    )


def test_what_is_chosen_goes_out(seen: Program) -> None:
    rows = seen("export", "observations", "--member", "Ines", "--night", "2026-03-01", "--json").document
    assert [row["target"] for row in rows] == ["M 81"]
    assert "M 3" in seen("export", "observations").out


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["out.csv", "--exact"], "--exact is for a log alone."),
        (["out.csv", "--language", "en"], "--language is for a log alone."),
        (["out.xml", "--language", "english"], "'english' is not a language in two letters."),
        (["out.ods"], "not the name of a sheet"),
    ],
)
def test_what_does_not_fit_is_said(seen: Program, tmp_path: Path, options: list[str], words: str) -> None:
    answer = seen("export", "observations", str(tmp_path / options[0]), *options[1:])
    assert answer.code == 2
    assert words in answer.err


def test_how_a_sheet_is_read_is_nothing_for_a_log(seen: Program, tmp_path: Path) -> None:
    answer = seen("import", "observations", str(tmp_path / "log.xml"), "--sheet", "One")
    assert answer.code == 2
    assert "--sheet is for a sheet alone." in answer.err
