"""Pages with head and foot, and text that is as wide as it was measured."""

from collections.abc import Iterator
from datetime import date

import pytest

from obslog.report.forms.canvas import MM_PER_POINT, TEXT, Canvas
from obslog.report.forms.paper import PaperSize
from tests.report.forms.drawn import pages_of, texts_over_texts


@pytest.fixture
def canvas() -> Iterator[Canvas]:
    made = Canvas(PaperSize.A4, "Night sheet", "Mill Field", date(2026, 3, 2))
    yield made
    made.as_bytes()  # which closes the font's files


def test_every_page_says_which_it_is_of_how_many_and_what_it_is_about(canvas: Canvas) -> None:
    canvas.new_page()
    canvas.new_page()
    pages = pages_of(canvas.as_bytes())
    for number, page in enumerate(pages, start=1):
        texts = [text.text for text in page.texts]
        assert f"page {number} of 3" in texts
        assert {"Night sheet", "Mill Field"} <= set(texts)
    assert canvas.pages == len(pages) == 3


@pytest.mark.parametrize("paper", PaperSize)
def test_the_paper_has_its_size(paper: PaperSize) -> None:
    (page,) = pages_of(Canvas(paper, "T", "", date(2026, 3, 2)).as_bytes())
    width, height = paper.size_mm
    assert page.paper.right == pytest.approx(width / MM_PER_POINT, abs=0.1)
    assert page.paper.top == pytest.approx(height / MM_PER_POINT, abs=0.1)


@pytest.mark.parametrize("line", ["Regulus 12E 5N", "ŁÅ ß wide", "אברהם"])
def test_a_line_is_as_wide_in_the_file_as_it_was_measured(canvas: Canvas, line: str) -> None:
    measured = canvas.measure(line, TEXT)
    canvas.write(30, 50, [line], TEXT)
    (found,) = [text for text in pages_of(canvas.as_bytes())[0].texts if sorted(text.text) == sorted(line)]
    assert found.right - found.left == pytest.approx(measured / MM_PER_POINT, abs=0.3)
    assert found.left == pytest.approx(30 / MM_PER_POINT, abs=0.1)


def test_a_new_page_begins_where_there_is_no_room(canvas: Canvas) -> None:
    assert not canvas.room_for(canvas.left_on_page)
    canvas.y += 1
    assert canvas.room_for(canvas.left_on_page + 0.5)
    assert canvas.pages == 2


def test_signs_that_are_not_in_the_font_are_counted_once_for_each_text(canvas: Canvas) -> None:
    for _ in range(3):
        assert canvas.lines("a 🔭 b 张", 100, TEXT) == ["a ? b ?"]
    assert canvas.signs_replaced == 2


@pytest.mark.parametrize("length", [10, 45, 55, 400])
def test_a_long_title_is_set_smaller_and_only_then_cut(length: int) -> None:
    title = ("mount " * length)[:length].strip()
    drawn = Canvas(PaperSize.A4, title, "Mill Field, 2026-03-02 21:40", date(2026, 3, 2))
    (page,) = pages_of(drawn.as_bytes())
    assert (title in [text.text for text in page.texts]) == (length <= 55)
    assert texts_over_texts(page) == []


def test_the_date_of_the_file_is_that_of_the_sheet(canvas: Canvas) -> None:
    assert b"D:20260302000000Z" in canvas.as_bytes()
