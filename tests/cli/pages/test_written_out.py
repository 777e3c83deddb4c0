"""Where a page goes: refused before any work where it cannot be, whole or not at all, and never over another's file."""

import os
import stat
from pathlib import Path

import pytest

from tests.cli.program import Program

HTML = "<!DOCTYPE html>\n<html lang='en'><title>Dear members</title></html>\n"


def test_it_is_written_said_and_written_again(outside: Program, tmp_path: Path) -> None:
    page = tmp_path / "heron.html"
    first = outside.must("page", "mount", "heron", "--out", str(page))
    assert (first.out, first.error_lines) == ("", [f"Written: {page}"])
    assert "Heron" in page.read_text(encoding="utf-8")
    before = page.read_bytes()
    outside.must("page", "mount", "heron", "--out", str(page))
    assert page.read_bytes() == before


@pytest.mark.parametrize(
    ("name", "code", "words"),
    [
        ("heron.pdf", 2, "ends in .html"),
        ("heron", 2, "ends in .html"),
        ("no/heron.html", 2, "no folder"),
        ("folder.html", 2, "is a folder"),
        ("letter.html", 1, "--overwrite"),
    ],
)
def test_what_cannot_be_is_said_before_the_database_is_opened(
    program: Program, tmp_path: Path, name: str, code: int, words: str
) -> None:
    (tmp_path / "folder.html").mkdir()
    (tmp_path / "letter.html").write_text(HTML, encoding="utf-8")
    program.environment["OBSLOG_DB"] = str(tmp_path / "nowhere" / "club.db")
    answer = program("page", "mount", "Heron", "--out", str(tmp_path / name))
    assert (answer.code, len(answer.error_lines)) == (code, 2)
    assert words in answer.err
    assert (tmp_path / "letter.html").read_text(encoding="utf-8") == HTML


def test_another_file_is_written_over_where_that_is_asked_for(outside: Program, tmp_path: Path) -> None:
    letter = tmp_path / "letter.html"
    letter.write_text(HTML, encoding="utf-8")
    outside.must("page", "mount", "Heron", "--out", str(letter), "--overwrite")
    assert "Heron" in letter.read_text(encoding="utf-8")


def test_what_goes_wrong_later_leaves_the_earlier_page_and_nothing_beside_it(
    outside: Program, tmp_path: Path
) -> None:
    folder = tmp_path / "pages"
    folder.mkdir()
    page = folder / "heron.html"
    outside.must("page", "mount", "Heron", "--out", str(page))
    before = page.read_bytes()
    assert outside("page", "mount", "Nobody", "--out", str(page)).code == 2
    assert page.read_bytes() == before
    assert list(folder.iterdir()) == [page]


def test_in_the_red_theme_a_page_begins_red(outside: Program, tmp_path: Path) -> None:
    page = tmp_path / "heron.html"
    outside.must("--red", "page", "mount", "Heron", "--out", str(page))
    assert '<html lang="en" data-style="red">' in page.read_text(encoding="utf-8")


@pytest.mark.skipif(os.name != "posix", reason="rights of files are POSIX's")
def test_what_names_people_can_be_read_by_its_owner_alone(outside: Program, tmp_path: Path) -> None:
    before = os.umask(0o022)
    outside.must("stocktake", "start")
    try:
        for words, private in (
            ("page store --out store.html", False),
            ("page store --out named.html --officer", True),
            ("page club --out club.html --officer", True),
            ("page stocktake --out counted.html", False),
            ("page stocktake --out lost.html --officer", True),
            ("page member Ines --out ines.html", True),
            ("officer report --into report.html --officer", True),
            ("loan calendar --into plain.ics", False),
            ("loan calendar --into named.ics --officer", True),
            ("sheet stocktake --out plain.pdf", False),
            ("sheet stocktake --out named.pdf --officer", True),
        ):
            place = next(word for word in words.split() if "." in word)
            typed = [str(tmp_path / word) if word == place else word for word in words.split()]
            outside.must(*typed)
            assert stat.S_IMODE((tmp_path / place).stat().st_mode) == (0o600 if private else 0o644), words
        outside.must("page", "all", "--out", str(tmp_path / "all"), "--members", "--officer")
        rights = {page.name: stat.S_IMODE(page.stat().st_mode) for page in (tmp_path / "all").iterdir()}
        assert {name for name, mode in rights.items() if mode == 0o600} == {
            "store.html", "club.html", "stocktake.html", *(name for name in rights if name.startswith("member")),
        }  # fmt: skip
    finally:
        os.umask(before)


@pytest.mark.skipif(os.name != "posix", reason="rights of files are POSIX's")
def test_an_earlier_page_that_others_could_read_is_closed_with_a_word(
    outside: Program, tmp_path: Path
) -> None:
    page = tmp_path / "store.html"
    outside.must("page", "store", "--out", str(page))
    page.chmod(0o644)
    said = outside.must("page", "store", "--out", str(page), "--officer").error_lines
    assert f"Others on this machine could read {page}; now only you can." in said
    assert stat.S_IMODE(page.stat().st_mode) == 0o600
    said = outside.must("page", "store", "--out", str(page), "--officer").error_lines
    assert not any("could read" in line for line in said)
