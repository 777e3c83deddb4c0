"""Tables with rows high enough, their head on each page, and things to tick."""

from dataclasses import replace

import pytest

from obslog.club.forms.blocks import Column, ColumnKind, Heading, Table, Task, Ticks
from obslog.report.forms.as_pdf import sheet_as_pdf
from obslog.report.forms.canvas import MM_PER_POINT
from obslog.report.forms.paper import PaperSize
from tests.report.forms.drawn import Area, Page, pages_of
from tests.report.forms.sheets import COLUMNS, form

PLAIN = (Column(title="time", share=1), Column(title="what", share=3))


def pages_with(block: Table | Ticks, paper: PaperSize = PaperSize.A4) -> list[Page]:
    return pages_of(sheet_as_pdf(form(block), paper).content)


def height_mm(box: Area) -> float:
    return (box.top - box.bottom) * MM_PER_POINT


@pytest.mark.parametrize("paper", PaperSize)
def test_a_row_to_write_on_is_a_centimetre_high_and_the_head_stands_on_each_page(paper: PaperSize) -> None:
    pages = pages_with(Table(columns=PLAIN, blank_rows=60, writing=True), paper)
    assert len(pages) > 1
    for page in pages:
        assert {"time", "what"} <= {text.text for text in page.texts}
    rows = [box for page in pages for box in page.boxes if height_mm(box) > 8]
    assert len(rows) == 60 * len(PLAIN)
    assert {round(height_mm(box), 1) for box in rows} == {10.0}


def test_on_each_further_page_a_table_says_of_what_it_is() -> None:
    """The heading above it, or what the sheet says that its rows belong to: so two mounts' lines are not mixed up."""
    long = Table(columns=PLAIN, blank_rows=60, writing=True)
    of_mount = replace(long, belongs_to="Set-up 2: Heron")
    for blocks, told in (
        ((Heading("attic: 60 items"), long), "attic: 60 items, continued"),
        ((Heading("Lines"), of_mount), "Set-up 2: Heron, continued"),
        ((long,), None),
    ):
        first, *further = pages_of(sheet_as_pdf(form(*blocks), PaperSize.A4).content)
        said = [[text.text for text in page.texts if text.text.endswith("continued")] for page in further]
        assert said == [[told] if told else []] * len(further)
        assert further
        assert not any(text.text.endswith("continued") for text in first.texts)


def test_numbers_end_below_each_other() -> None:
    columns = (PLAIN[1], Column(title="value", share=1, kind=ColumnKind.NUMBER))
    (page,) = pages_with(Table(columns=columns, rows=(("a", "1,100.00"), ("b", "40.00\non 2026-03-02"))))
    ends = {text.text: text.right for text in page.texts}
    assert ends["1,100.00"] == pytest.approx(ends["40.00"], abs=0.3)
    assert ends["value"] == pytest.approx(ends["on 2026-03-02"], abs=0.3)
    assert ends["value"] == pytest.approx(ends["40.00"], abs=0.3)


def test_a_table_that_fills_its_page_leaves_no_room_for_another_row() -> None:
    (page,) = pages_with(Table(columns=PLAIN, blank_rows=2, writing=True, fills_page=True))
    lowest = min(box.bottom for box in page.boxes) * MM_PER_POINT
    assert 14 <= lowest < 14 + 10  # the margin below is 14 mm, a row is 10


def test_each_cell_stands_in_its_column() -> None:
    (page,) = pages_with(Table(columns=PLAIN, rows=(("20:10", "Vega\n60° up"), ("20:20", "Deneb"))))
    places = {text.text: text for text in page.texts}
    left, right = places["time"].left, places["what"].left
    assert [round(places[word].left - left, 1) for word in ("20:10", "20:20")] == [0, 0]
    assert [round(places[word].left - right, 1) for word in ("Vega", "60° up", "Deneb")] == [0, 0, 0]
    assert places["60° up"].top <= places["Vega"].bottom + 1.5


def test_words_to_ring_stand_in_blank_cells_alone_and_ticks_are_boxes() -> None:
    (page,) = pages_with(
        Table(columns=COLUMNS, rows=(("", "Heron", ""), ("", "Tube", "worn: a scratch")), writing=True)
    )
    texts = [text.text.split() for text in page.texts]
    assert texts.count(["good", "worn", "damaged", "missing"]) == 1
    assert ["worn:", "a", "scratch"] in texts
    assert sum(round(height_mm(box), 1) == 6.0 for box in page.boxes) == 2


def test_words_to_ring_take_as_few_rows_as_they_need_and_never_leave_their_column() -> None:
    narrow = (*COLUMNS[2:], Column(title="the rest", share=10))
    (page,) = pages_with(Table(columns=narrow, rows=(("", "x"),), writing=True))
    right = next(text.left for text in page.texts if text.text == "the rest")
    rung = [text for text in page.texts if set(text.text.split()) & {"good", "worn", "damaged", "missing"}]
    assert [word for text in rung for word in text.text.split()] == ["good", "worn", "damaged", "missing"]
    assert 1 < len(rung) <= 4
    assert all(text.right < right for text in rung)


def test_every_task_has_a_box_under_each_head_and_one_for_what_was_read() -> None:
    tasks = (
        Task(
            title="1. Level",
            told=("With a bubble.",),
            values=("within 0.5°",),
            warnings=("sank once",),
            write="read",
        ),
    )
    (page,) = pages_with(Ticks(("done", "wrong"), tasks))
    heights = sorted(round(height_mm(box), 1) for box in page.boxes)
    assert heights == [6.0, 6.0, 10.0]
    texts = [text.text for text in page.texts]
    for told in ("done", "wrong", "1. Level", "With a bubble.", "> within 0.5°", "! sank once", "read"):
        assert told in texts


@pytest.mark.parametrize("above", range(20, 27))
def test_no_head_of_ticks_stands_without_a_task_below_it(above: int) -> None:
    tasks = (Task(title="tall", told=tuple(f"line {n}" for n in range(9)), write="read"),)
    rows = Table(columns=PLAIN, rows=(("x", "y"),), blank_rows=above, writing=True)
    pages = pages_of(sheet_as_pdf(form(rows, Ticks(("done", "wrong"), tasks)), PaperSize.A4).content)
    shown = [{"done", "tall"} & {text.text for text in page.texts} for page in pages]
    assert [found for found in shown if found] == [{"done", "tall"}]


def test_the_heads_of_ticks_stand_on_each_page() -> None:
    pages = pages_with(Ticks(("out", "in"), tuple(Task(title=f"part {n}") for n in range(80))))
    assert len(pages) > 1
    assert all({"out", "in"} <= {text.text for text in page.texts} for page in pages)
