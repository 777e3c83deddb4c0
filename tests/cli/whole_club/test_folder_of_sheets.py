"""`export all` and `import all` as one types them; and the folder as another program's validator sees it."""

import json
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from obslog.club.whole_club.sheet_tables import tables_to_go
from tests.cli.program import Program

SHEETS = len(tables_to_go(with_private=True))
VALIDATE = (
    "import json, sys; from frictionless import validate; report = validate(sys.argv[1]); "
    "print(json.dumps(report.flatten(['type', 'message'])))"
)


@pytest.fixture
def folder(outside: Program, tmp_path: Path) -> Path:
    """The folder of a club with a night, odd texts and contacts."""
    outside.must("member", "contact", "Ines", "--phone", "+44 1223 000000")
    outside.must("check", "Vega", "2W 1N", "--note", '=1+1, "quoted"')
    outside.must("saw", "M 31", "--note", "-faint")
    outside.must("snag", "add", "power", "@home")
    outside.must("loan", "out", "Lead battery", "Bram Ostler")
    outside.must("undo")
    outside.must("export", "all", str(tmp_path / "out"), "--with-private")
    return tmp_path / "out"


def validated(folder: Path) -> list[tuple[str, str]]:
    """What the validator of the Frictionless project finds wrong; in a process of its own, for its import is slow."""
    pytest.importorskip("frictionless")
    done = subprocess.run(
        [sys.executable, "-c", VALIDATE, str(folder / "datapackage.json")],
        capture_output=True,
        text=True,
        check=True,
    )
    return [(kind, message) for kind, message in json.loads(done.stdout.splitlines()[-1])]


def test_the_folder_is_a_valid_data_package(folder: Path) -> None:
    assert validated(folder) == []


def _edit(name: str, before: str, after: str) -> Callable[[Path], None]:
    def change(folder: Path) -> None:
        text = (folder / name).read_text(encoding="utf-8")
        assert before in text
        (folder / name).write_text(text.replace(before, after, 1), encoding="utf-8", newline="")

    return change


def _described(change: Callable[[dict[str, Any]], None]) -> Callable[[Path], None]:
    def changed(folder: Path) -> None:
        document = json.loads((folder / "datapackage.json").read_text())
        change({resource["name"]: resource for resource in document["resources"]})
        (folder / "datapackage.json").write_text(json.dumps(document))

    return changed


WRONG: dict[str, tuple[Callable[[Path], None], str]] = {
    "a number out of its range": (_edit("sites.csv", "52.2", "152.2"), "constraint-error"),
    "a word that is not known": (_edit("mounts.csv", "german", "dobson"), "constraint-error"),
    "a needed cell that is blank": (_edit("members.csv", "Bram Ostler", ""), "constraint-error"),
    "no number": (_edit("sites.csv", "52.2", "north"), "type-error"),
    "another hash": (_described(lambda named: named["sites"].update(hash="sha256:00")), "hash-count"),
    "other rows": (_described(lambda named: named["sites"].update(rows=9)), "row-count"),
}


@pytest.mark.parametrize("what", WRONG)
def test_the_description_says_enough_for_a_validator_to_find(what: str, folder: Path, tmp_path: Path) -> None:
    change, kind = WRONG[what]
    shutil.copytree(folder, tmp_path / "changed")
    change(tmp_path / "changed")
    assert kind in {found for found, _ in validated(tmp_path / "changed")}


def test_a_validator_finds_what_refers_to_nothing(folder: Path, tmp_path: Path) -> None:
    heads, row = (folder / "nights.csv").read_text().splitlines()[:2]
    site = row.split(",")[heads.split(",").index("site_id")]
    shutil.copytree(folder, tmp_path / "changed")
    _edit("nights.csv", site, "0190a6e5-0000-7000-8000-0000000000ff")(tmp_path / "changed")
    assert "foreign-key" in {found for found, _ in validated(tmp_path / "changed")}


def test_a_club_goes_out_and_comes_back(outside: Program, folder: Path, tmp_path: Path) -> None:
    before = {
        line: outside.document(*line.split()) for line in ("setup show Heron", "night show", "snag list")
    }
    rows = sum(
        resource["rows"] for resource in json.loads((folder / "datapackage.json").read_text())["resources"]
    )
    outside.environment["OBSLOG_DB"] = str(tmp_path / "new.db")
    answer = outside.must("import", "all", str(folder))
    assert answer.out == f"{rows} rows brought in from {SHEETS} sheets.\n"
    assert {line: outside.document(*line.split()) for line in before} == before
    assert outside.document("member", "list", "--officer")[1]["phone"] == "+44 1223 000000"


def test_what_was_written_and_left_out_is_said(outside: Program, tmp_path: Path) -> None:
    answer = outside.must("export", "all", str(tmp_path / "said"))
    assert answer.out.endswith(f"written to {SHEETS - 1} sheets in {tmp_path / 'said'}.\n")
    assert "  contacts: how members are reached; only with --with-private" in answer.error_lines
    document = outside.document("export", "all", str(tmp_path / "json"))
    assert (document["with_private"], len(document["sheets"])) == (False, SHEETS - 1)
    assert {"table", "file", "rows", "bytes"} == set(document["sheets"][0])


def test_the_files_that_the_database_only_names_are_counted_among_what_is_left_out(
    outside: Program, tmp_path: Path
) -> None:
    assert "files of photographs" not in outside.must("export", "all", str(tmp_path / "none")).err
    bill = tmp_path / "bill.pdf"
    bill.write_bytes(b"one bill for two items")
    outside.must("store", "receipt", "Heron", str(bill))
    outside.must("store", "receipt", "Lead battery", str(bill))
    for name in ("left.jpg", "right.jpg"):
        (tmp_path / name).write_bytes(name.encode())
        outside.must("store", "photo", "Heron", str(tmp_path / name))
    outside.must("saw", "M 31", "--sketch", "book 2, page 7")
    said = "2 photographs, 1 receipt and 1 drawing, where the club keeps them; copy them too"
    answer = outside.must("export", "all", str(tmp_path / "some"))
    assert f"  files of photographs, receipts and drawings: {said}" in answer.error_lines
    left_out = outside.document("export", "all", str(tmp_path / "json"))["left_out"]
    assert left_out["files of photographs, receipts and drawings"] == said


def test_a_folder_that_is_there_is_refused(outside: Program, folder: Path) -> None:
    answer = outside("export", "all", str(folder))
    assert (answer.code, answer.error_lines[0]) == (1, f"{folder} is there already.")


def test_a_database_with_a_club_takes_no_other(outside: Program, folder: Path) -> None:
    answer = outside("import", "all", str(folder))
    assert answer.code == 1
    assert "is not empty" in answer.error_lines[0]
    assert "obslog --db NEW.db import all" in answer.error_lines[1]


def test_faults_are_told_a_line_each_and_nothing_is_brought_in(
    outside: Program, folder: Path, tmp_path: Path
) -> None:
    _edit("sites.csv", "52.2", "152.2")(folder)
    outside.environment["OBSLOG_DB"] = str(tmp_path / "new.db")
    answer = outside("import", "all", str(folder))
    assert answer.code == 2
    assert answer.error_lines[1:] == [
        f"{folder} has 2 faults, so nothing was brought in.",
        "  sites.csv, line 2: lat_deg: 152.2 is not a number from -90 to 90 degrees. "
        "Correct it, or leave the cell blank.",
        answer.error_lines[3],
        "Put right what is named above, and import the folder again.",
    ]
    assert answer.error_lines[3].endswith("If it was changed on purpose: --as-it-stands")
    assert outside.document("site", "list") == []
    _edit("sites.csv", "152.2", "51.2")(folder)
    taken = outside.document("import", "all", str(folder), "--as-it-stands")
    assert len(taken["differ"]) == 1
    assert outside.document("site", "show", "Mill Field")["lat_deg"] == 51.2


@pytest.mark.parametrize("name", ["nowhere", "file"])
def test_what_is_no_folder_of_a_club_is_refused(name: str, program: Program, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    answer = program("import", "all", str(tmp_path / name))
    assert answer.code == 2
    assert "is not a club's folder of sheets" in answer.err
