"""Boxes for a cold hand, with what is known in them, and scales with their definitions beside them."""

import pytest

from obslog.club.forms.blocks import Box, Boxes, Caution, Explanation, Heading, Scale, Scales
from obslog.report.forms.as_pdf import sheet_as_pdf
from obslog.report.forms.canvas import MM_PER_POINT
from obslog.report.forms.paper import PaperSize
from tests.report.forms.drawn import Page, pages_of
from tests.report.forms.sheets import form


def page_with(*blocks: Boxes | Scales | Heading | Explanation | Caution) -> Page:
    return pages_of(sheet_as_pdf(form(*blocks), PaperSize.A4).content)[0]


@pytest.mark.parametrize("lines", [1, 2, 3])
def test_a_box_has_a_centimetre_for_each_line(lines: int) -> None:
    (box,) = page_with(Boxes((Box(label="Note", lines=lines),))).boxes
    assert (box.top - box.bottom) * MM_PER_POINT == pytest.approx(10 * lines, abs=0.05)


def test_boxes_share_the_width_as_they_ask() -> None:
    one, two = page_with(Boxes((Box(label="a", share=1), Box(label="b", share=3)))).boxes
    assert (two.right - two.left) / (one.right - one.left) == pytest.approx(3, abs=0.01)
    assert two.left > one.right


def test_what_is_known_stands_in_its_box_and_the_label_above_it() -> None:
    page = page_with(Boxes((Box(label="Site", hint="where", filled="Mill Field"),)))
    (box,) = page.boxes
    places = {text.text: text for text in page.texts}
    assert places["Mill Field"].within(box)
    assert places["Site"].bottom >= box.top
    assert places["(where)"].left > places["Site"].right


def test_a_hint_that_has_no_room_is_left_out_rather_than_laid_over_the_next() -> None:
    boxes = tuple(Box(label="Set up at", hint="like 20:10 and so on and on") for _ in range(4))
    assert "(like 20:10 and so on and on)" not in [text.text for text in page_with(Boxes(boxes)).texts]


def test_the_steps_of_a_scale_stand_right_of_its_box() -> None:
    scale = Scale(
        name="antoniadi", meaning="seeing", direction="", steps=(("1", "calm"), ("2", "not so calm"))
    )
    page = page_with(Scales((scale,), 2))
    (box,) = page.boxes
    told = [text for text in page.texts if text.text in ("antoniadi", "seeing", "1 calm", "2 not so calm")]
    assert len(told) == 4
    assert all(text.left > box.right for text in told)
    assert (box.top - box.bottom) * MM_PER_POINT == pytest.approx(10, abs=0.05)


def test_a_caution_stands_in_a_frame_as_a_whole() -> None:
    page = page_with(Caution(("Never toward the Sun.", "Look for aircraft.")))
    (frame,) = page.boxes
    inside = [text.text for text in page.texts if text.within(frame)]
    assert inside == ["Never toward the Sun.", "Look for aircraft."]


def test_a_long_explanation_goes_on_on_the_next_page() -> None:
    words = " ".join(f"w{n}" for n in range(6000))
    pages = pages_of(sheet_as_pdf(form(Explanation(words)), PaperSize.LETTER).content)
    set_down = " ".join(text.text for page in pages for text in page.texts)
    assert len(pages) > 1
    assert [word for word in set_down.split() if word[0] == "w" and word[1:].isdigit()] == words.split()


def test_a_heading_never_stands_alone_at_the_end_of_a_page() -> None:
    blocks = [
        block for n in range(40) for block in (Heading(f"Heading {n}"), Boxes((Box(label=f"box {n}"),)))
    ]
    for page in pages_of(sheet_as_pdf(form(*blocks), PaperSize.A4).content):
        texts = [text.text for text in page.texts]
        for n in range(40):
            assert (f"Heading {n}" in texts) == (f"box {n}" in texts)
