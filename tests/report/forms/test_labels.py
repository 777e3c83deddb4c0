"""Labels as they come off a printer: the code read by another program, at 20 mm."""

import shutil
import subprocess
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from obslog.club.shelves.labels import Label
from obslog.errors import ObslogError
from obslog.report.forms.canvas import MM_PER_POINT
from obslog.report.forms.label_sheets import SHEETS, LabelSize
from obslog.report.forms.labels import LARGEST_CODE_MM, check_labels, labels_as_pdf, put_labels
from tests.report.forms.drawn import outside_the_page, pages_of, text_of, texts_over_texts

DAY = date(2026, 3, 2)
DOTS_PER_INCH = 300
DOTS_PER_MM = DOTS_PER_INCH / 25.4
needs_a_renderer = pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="pdftoppm draws the pages")
LABELS = [
    Label("M-01", "Heron"),
    Label("T" * 60, "a name that goes on and on, " * 8),
    Label("מ-7", "טלסקופ של המועדון"),
    Label("E/2 <b>&;\"'", '=HYPERLINK("x") %s {nb} \\ <script>'),
    Label("Äö-ß", "Zoë’s 望遠鏡"),
]


def drawn(labels: list[Label], size: LabelSize, folder: Path, first: int = 1) -> list[Any]:
    """The pages as pictures, as a printer of 300 dots an inch sets them."""
    from PIL import Image

    (folder / "labels.pdf").write_bytes(labels_as_pdf(labels, SHEETS[size], DAY, first).content)
    command = ["pdftoppm", "-r", f"{DOTS_PER_INCH}", "-gray", "-png", "labels.pdf", "page"]
    subprocess.run(command, cwd=folder, check=True)
    return [Image.open(path) for path in sorted(folder.glob("page*.png"))]


def read_codes(picture: Any) -> list[Any]:
    import zxingcpp

    return list(zxingcpp.read_barcodes(picture))


@needs_a_renderer
@pytest.mark.parametrize("size", LabelSize)
def test_another_program_reads_every_tag(size: LabelSize, tmp_path: Path) -> None:
    [page] = drawn(LABELS, size, tmp_path)
    codes = read_codes(page)
    assert sorted(code.text for code in codes) == sorted(label.tag for label in LABELS)
    assert max(_width_mm(code) for code in codes) <= LARGEST_CODE_MM


@needs_a_renderer
def test_the_first_label_stands_where_it_was_asked_for(tmp_path: Path) -> None:
    sheet = SHEETS[LabelSize.W64_H38]
    [page] = drawn([Label("M-01", "Heron")], LabelSize.W64_H38, tmp_path, first=5)
    [code] = read_codes(page)
    # The fifth of three columns: the second row, the second column.
    left, top = 7.25 + 63.5 + 2.5, 15.15 + 38.1
    middle = [(code.position.top_left.x + code.position.bottom_right.x) / 2 / DOTS_PER_MM]
    middle.append((code.position.top_left.y + code.position.bottom_right.y) / 2 / DOTS_PER_MM)
    assert left < middle[0] < left + sheet.width_mm / 2
    assert middle[1] == pytest.approx(top + sheet.height_mm / 2, abs=0.3)


def test_a_sheet_that_is_full_is_followed_by_another(tmp_path: Path) -> None:
    labels = [Label(f"T-{number}", f"Thing {number}") for number in range(21)]
    assert labels_as_pdf(labels, SHEETS[LabelSize.W64_H38], DAY).pages == 1
    assert labels_as_pdf(labels, SHEETS[LabelSize.W64_H38], DAY, first=2).pages == 2
    assert labels_as_pdf(labels[:1], SHEETS[LabelSize.W64_H38], DAY, first=21).pages == 1


@pytest.mark.parametrize("size", LabelSize)
def test_no_text_leaves_the_paper_and_what_cannot_be_shown_is_counted(
    size: LabelSize, tmp_path: Path
) -> None:
    path = tmp_path / "labels.pdf"
    printed = put_labels(LABELS * 5, SHEETS[size], path, DAY)
    assert printed.signs_replaced == 3  # the three Chinese ones, counted once
    pages = pages_of(printed.content)
    assert printed.pages == len(pages)
    assert [outside_the_page(page, margin_pt=0) for page in pages] == [[]] * len(pages)
    assert [texts_over_texts(page) for page in pages] == [[]] * len(pages)
    assert "page 1" not in text_of(printed.content)  # neither head nor foot


@pytest.mark.parametrize("size", LabelSize)
def test_a_tag_is_set_as_large_as_the_label_lets_it(size: LabelSize) -> None:
    """So that it is read off a shelf: it takes the room that there is, or is 24 points high."""
    sheet = SHEETS[size]
    room = (sheet.width_mm - min(sheet.height_mm, LARGEST_CODE_MM)) / MM_PER_POINT
    (page,) = pages_of(labels_as_pdf([Label("M-01", "Heron")], sheet, DAY).content)
    tall = {text.text: text.top - text.bottom for text in page.texts}
    wide = {text.text: text.right - text.left for text in page.texts}
    assert tall["M-01"] > tall["Heron"]
    assert wide["M-01"] > 0.6 * room or tall["M-01"] > 20
    (page,) = pages_of(labels_as_pdf([Label("M-01-of-the-loft", "Heron")], sheet, DAY).content)
    assert max(text.right - text.left for text in page.texts) <= room


def test_no_word_of_a_name_is_broken_for_the_sake_of_larger_type() -> None:
    (page,) = pages_of(
        labels_as_pdf([Label("T-02", "Grandmother's refractor")], SHEETS[LabelSize.W52_H30], DAY).content
    )
    assert {"Grandmother's", "refractor"} <= {text.text for text in page.texts}


@pytest.mark.parametrize(("name", "first"), [("labels.html", 1), ("labels.pdf", 0), ("labels.pdf", 22)])
def test_what_cannot_be_written_is_refused_before(tmp_path: Path, name: str, first: int) -> None:
    with pytest.raises(ObslogError):
        check_labels(tmp_path / name, SHEETS[LabelSize.W64_H38], first, overwrite=False)


def test_an_earlier_sheet_is_written_over_and_nothing_else(tmp_path: Path) -> None:
    sheet, path = SHEETS[LabelSize.W64_H38], tmp_path / "labels.pdf"
    put_labels(LABELS, sheet, path, DAY)
    check_labels(path, sheet, 1, overwrite=False)
    path.write_bytes(b"%PDF-1.4 somebody's own")
    with pytest.raises(ObslogError, match="is there already"):
        check_labels(path, sheet, 1, overwrite=False)


def _width_mm(code: Any) -> float:
    return float(code.position.top_right.x - code.position.top_left.x) / DOTS_PER_MM
