"""A sheet as a PDF, by fpdf2: it is Python alone and installs everywhere, and needs no browser and no system library.

The same sheet gives the same bytes: its dates are those of the form, and nothing else in it changes.
"""

from typing import assert_never

from obslog.club.forms.blocks import Block, Boxes, Caution, Explanation, Form, Heading, Scales, Table, Ticks
from obslog.report.forms.canvas import Canvas
from obslog.report.forms.paper import PaperSize
from obslog.report.forms.pdf_boxes import (
    draw_boxes,
    draw_caution,
    draw_explanation,
    draw_heading,
    draw_scales,
)
from obslog.report.forms.pdf_tables import draw_table, draw_ticks
from obslog.report.forms.printed import Printed


def sheet_as_pdf(form: Form, paper: PaperSize) -> Printed:
    """The sheet on that paper. Raises NoFont."""
    canvas = Canvas(paper, form.title, form.about, form.dated)
    heading = ""
    for block in form.blocks:
        heading = block.words if isinstance(block, Heading) else heading
        _draw(canvas, block, heading)
    return Printed(canvas.as_bytes(), canvas.pages, canvas.signs_replaced)


def _draw(canvas: Canvas, block: Block, heading: str) -> None:
    match block:
        case Heading():
            draw_heading(canvas, block)
        case Explanation():
            draw_explanation(canvas, block)
        case Caution():
            draw_caution(canvas, block)
        case Boxes():
            draw_boxes(canvas, block)
        case Scales():
            draw_scales(canvas, block)
        case Ticks():
            draw_ticks(canvas, block)
        case Table():
            draw_table(canvas, block, block.belongs_to or heading)
        case _:
            assert_never(block)
