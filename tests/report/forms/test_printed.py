"""Where a sheet may be put: over an earlier sheet, and over nothing else."""

from pathlib import Path

import pytest

from obslog.club.forms.blocks import Column, Table
from obslog.report.forms.paper import PaperSize
from obslog.report.forms.printed import NoSheet, NotASheet, is_sheet, put_sheet, refuse_another_file
from tests.report.forms.sheets import form


@pytest.mark.parametrize("name", ["a.pdf", "a.PDF", "a.html"])
def test_a_sheet_takes_the_place_of_an_earlier_one(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    for title in ("first", "second"):
        refuse_another_file(path, overwrite=False)
        put_sheet(form(title=title), path, PaperSize.A4)
    assert is_sheet(path.read_bytes())
    assert path.read_bytes().startswith(b"%PDF" if name.casefold().endswith("pdf") else b"<!DOCTYPE html>")


@pytest.mark.parametrize(
    "content", [b"", b"my own notes", b"%PDF-1.4 somebody else's", b"<!DOCTYPE html><p>a page"]
)
def test_another_file_is_left_alone_unless_that_is_asked_for(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "notes.pdf"
    path.write_bytes(content)
    with pytest.raises(NotASheet):
        refuse_another_file(path, overwrite=False)
    assert path.read_bytes() == content
    refuse_another_file(path, overwrite=True)


def test_a_long_sheet_is_known_again_too(tmp_path: Path) -> None:
    path = tmp_path / "long.pdf"
    table = Table(columns=(Column(title="what", share=1),), blank_rows=8_000, writing=True)
    put_sheet(form(table), path, PaperSize.A4)
    assert path.stat().st_size > 200_000
    refuse_another_file(path, overwrite=False)


@pytest.mark.parametrize("name", ["sheet", "sheet.doc", "sheet.pdf.txt"])
def test_a_name_that_says_neither_pdf_nor_html_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(NoSheet):
        refuse_another_file(tmp_path / name, overwrite=True)
