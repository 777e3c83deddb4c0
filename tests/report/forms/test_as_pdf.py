"""Sheets as PDF: nothing over anything else whatever people are called, and the same bytes for the same sheet."""

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from obslog.club.forms.blocks import Box, Boxes
from obslog.report.forms.as_pdf import sheet_as_pdf
from obslog.report.forms.paper import PaperSize
from tests.report.forms.drawn import (
    Area,
    Page,
    outside_the_page,
    pages_of,
    text_of,
    texts_over_texts,
    texts_over_their_boxes,
)
from tests.report.forms.sheets import HOSTILE, form, with_name

ROOT = Path(__file__).resolve().parents[3]


@pytest.mark.parametrize("paper", PaperSize)
@pytest.mark.parametrize("name", HOSTILE, ids=lambda name: ascii(name[:12]))
def test_whatever_people_are_called_nothing_leaves_its_place(name: str, paper: PaperSize) -> None:
    sheet = form(*with_name(name), title=name or "A sheet", about=name)
    for page in pages_of(sheet_as_pdf(sheet, paper).content):
        assert outside_the_page(page) == []
        assert texts_over_texts(page) == []
        assert texts_over_their_boxes(page) == []


def test_a_name_can_be_read_out_of_the_file() -> None:
    name = 'O\'Brien "Zoë" <script>alert(1)</script>'
    assert name in text_of(
        sheet_as_pdf(form(Boxes((Box(label="Observer", filled=name),))), PaperSize.A4).content
    )


def test_a_name_from_right_to_left_is_set_from_right_to_left() -> None:
    # Alef, bet, gimel: read from the right, so that alef stands farthest right on the paper.
    sheet = form(Boxes((Box(label="Observer", filled="אבג"),)))
    (found,) = [
        text
        for page in pages_of(sheet_as_pdf(sheet, PaperSize.A4).content)
        for text in page.texts
        if "א" in text.text
    ]
    assert found.text == "גבא"  # as it was set, from left to right


def test_signs_that_are_not_in_the_font_are_counted() -> None:
    printed = sheet_as_pdf(form(Boxes((Box(label="Observer", filled="🔭 and 张"),))), PaperSize.A4)
    assert printed.signs_replaced >= 2
    assert "? and ?" in text_of(printed.content)


def test_the_same_sheet_is_the_same_file_in_another_process_at_another_time() -> None:
    script = (
        "import sys, time; from hashlib import sha256; real = time.time; time.time = lambda: real() + 1e7;"
        "from tests.report.forms.sheets import HOSTILE, form, with_name;"
        "from obslog.report.forms.as_pdf import sheet_as_pdf; from obslog.report.forms.paper import PaperSize;"
        "print(sha256(sheet_as_pdf(form(*with_name(HOSTILE[1])), PaperSize.A4).content).hexdigest())"
    )
    digests = {
        subprocess.run(
            [sys.executable, "-c", script],
            cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT), "TZ": zone},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed, zone in (("1", "UTC"), ("2", "Asia/Tokyo"))
    }
    assert len(digests) == 1


def test_another_day_is_another_file() -> None:
    sheet = form(Boxes((Box(label="Site"),)))
    other = replace(sheet, dated=sheet.dated.replace(day=3))
    assert sheet_as_pdf(sheet, PaperSize.A4).content != sheet_as_pdf(other, PaperSize.A4).content


def test_what_is_wrong_on_a_page_would_be_found() -> None:
    paper = Area(left=0, bottom=0, right=600, top=800)
    box = Area(left=100, bottom=100, right=200, top=130)
    fits = Area(left=105, bottom=105, right=190, top=115, text="fits")
    too_wide = replace(fits, right=230, text="too wide")
    gone = Area(left=560, bottom=300, right=640, top=310, text="gone")
    page = Page(paper, [fits, too_wide, gone], [box])
    assert outside_the_page(page) == ["gone"]
    assert texts_over_texts(page) == [("fits", "too wide")]
    assert texts_over_their_boxes(page) == ["too wide"]
