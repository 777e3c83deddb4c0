"""All pages in a folder: what is written there, what is refused before anything is, and what is left alone."""

import re
from html import unescape
from pathlib import Path

import pytest

from tests.cli.pages.test_overviews import BORROWER, WAITING, lending
from tests.cli.program import Program

__all__ = ["lending"]
HOSTILE = "../<script>alert(1)</script> CON"


def links(page: Path) -> list[str]:
    found = re.findall(r'href="([^"#][^"]*)"', page.read_text(encoding="utf-8"))
    return [unescape(link) for link in found]


def test_all_links_lead_to_pages_and_every_page_back_up(lending: Program, tmp_path: Path) -> None:
    folder = tmp_path / "pages"
    said = lending.must("page", "all", "--out", str(folder)).err
    files = {path.name for path in folder.iterdir()}
    assert set(links(folder / "index.html")) == files - {"index.html"}
    assert "mount-heron.html" in files
    assert "night-2026-03-02-mill-field.html" in files
    assert not any(name.startswith("member-") for name in files)
    for name in files - {"index.html"}:
        assert links(folder / name) == ["index.html"]
    assert f"Written: {len(files)} pages; begin with {folder / 'index.html'}" in said
    assert "From before" not in said


@pytest.mark.parametrize("officer", [[], ["--officer"]])
def test_no_page_names_a_borrower_but_to_the_officer(
    lending: Program, tmp_path: Path, officer: list[str]
) -> None:
    lending.must("page", "all", "--out", str(tmp_path / "pages"), *officer)
    whole = "".join(path.read_text(encoding="utf-8") for path in (tmp_path / "pages").iterdir())
    assert (BORROWER in whole, WAITING in whole) == (bool(officer), bool(officer))


def test_hostile_names_are_text_and_their_files_stay_in_the_folder(lending: Program, tmp_path: Path) -> None:
    lending.must("mount", "add", HOSTILE, "--type", "german", "--controller", "shift")
    lending.must("mount", "add", "Héron", "--type", "german", "--controller", "shift")
    folder = tmp_path / "pages"
    written = lending.document("page", "all", "--out", str(folder))
    files = {page["title"]: page["file"] for page in written["pages"]}
    assert files[f"The mount {HOSTILE}"] == "mount-script-alert-1-script-con.html"
    assert {files["The mount Heron"], files["The mount Héron"]} == {"mount-heron.html", "mount-heron-2.html"}
    assert sorted(files.values()) == sorted(path.name for path in folder.iterdir())
    assert "<script" not in (folder / "mount-script-alert-1-script-con.html").read_text(encoding="utf-8")
    assert "<script" not in (folder / "index.html").read_text(encoding="utf-8")


def test_pages_from_before_are_told_and_left(lending: Program, tmp_path: Path) -> None:
    folder = tmp_path / "pages"
    lending.must("page", "all", "--members", "--out", str(folder))
    (folder / "letter.html").write_text("<p>Dear members", encoding="utf-8")
    answer = lending.must("page", "all", "--out", str(folder))
    assert "From before, and no longer linked: member-bram-ostler.html, member-ines.html" in answer.err
    assert "letter.html" not in answer.err
    assert (folder / "member-ines.html").exists()
    assert "member-ines.html" not in links(folder / "index.html")


def test_another_file_in_the_way_is_kept_and_nothing_is_written(lending: Program, tmp_path: Path) -> None:
    folder = tmp_path / "pages"
    folder.mkdir()
    (folder / "store.html").write_text("<p>Our shop", encoding="utf-8")
    refused = lending("page", "all", "--out", str(folder))
    assert (refused.code, len(refused.error_lines), "--overwrite" in refused.err) == (1, 2, True)
    assert [path.name for path in folder.iterdir()] == ["store.html"]
    lending.must("page", "all", "--out", str(folder), "--overwrite")
    assert "The store-room" in (folder / "store.html").read_text(encoding="utf-8")


def test_a_folder_that_cannot_be_is_refused_before_any_work(lending: Program, tmp_path: Path) -> None:
    letter = tmp_path / "letter"
    letter.write_text("Dear members", encoding="utf-8")
    for place in (letter, tmp_path / "no" / "pages"):
        refused = lending("page", "all", "--out", str(place))
        assert (refused.code, len(refused.error_lines)) == (2, 2)


def test_the_same_records_give_the_same_folder(lending: Program, tmp_path: Path) -> None:
    one, other = tmp_path / "one", tmp_path / "other"
    for folder in (one, other):
        lending.must("page", "all", "--members", "--out", str(folder))
    assert {path.name: path.read_bytes() for path in one.iterdir()} == {
        path.name: path.read_bytes() for path in other.iterdir()
    }
