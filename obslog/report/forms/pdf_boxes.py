"""Headings, sentences, cautions, boxes and scales of a sheet, drawn as a PDF."""

from obslog.club.forms.blocks import Box, Boxes, Caution, Explanation, Heading, Scale, Scales
from obslog.report.forms.canvas import SMALL, TEXT, TINY, Canvas, line_height
from obslog.report.forms.paper import WRITING_MM

GAP_MM, INSIDE_MM = 2.0, 1.5
HEADING, FILLED = 11.0, 11.0
KEPT_TOGETHER_MM = 36.0
"""How much room a heading asks for, so that it never stands alone at the end of a page."""
NUMBER_BOX_MM = 17.0
MOST_OF_A_CAUTION, MOST_OF_A_SCALE = 6, 4


def draw_heading(canvas: Canvas, heading: Heading) -> None:
    if heading.new_page:
        canvas.new_page()
    elif not canvas.room_for(KEPT_TOGETHER_MM):
        canvas.y += 1.0
    (line,) = canvas.lines(heading.words, canvas.inner, HEADING, bold=True, most=1)
    canvas.y = canvas.write(canvas.left, canvas.y, [line], HEADING, bold=True) + 1.0


def draw_explanation(canvas: Canvas, told: Explanation) -> None:
    size = TEXT if told.strong else SMALL
    for line in canvas.lines(told.words, canvas.inner, size, bold=told.strong):
        canvas.room_for(line_height(size))
        canvas.y = canvas.write(canvas.left, canvas.y, [line], size, bold=told.strong)
    canvas.y += 1.2


def draw_caution(canvas: Canvas, caution: Caution) -> None:
    width = canvas.inner - 4
    first, *rest = (
        canvas.lines(sentence, width, SMALL, bold=place == 0, most=MOST_OF_A_CAUTION)
        for place, sentence in enumerate(caution.sentences)
    )
    height = sum(len(lines) for lines in (first, *rest)) * line_height(SMALL) + 2.4
    canvas.room_for(height)
    top = canvas.y
    canvas.y = canvas.write(canvas.left + 2, top + 0.8, first, SMALL, bold=True)
    for lines in rest:
        canvas.y = canvas.write(canvas.left + 2, canvas.y, lines, SMALL)
    canvas.box(canvas.left, top, canvas.inner, height, 0.6)
    canvas.y = top + height + GAP_MM


def draw_boxes(canvas: Canvas, row: Boxes) -> None:
    """Boxes side by side, each under its label; what is known already stands in them, cut where there is no room."""
    height = WRITING_MM * max(box.lines for box in row.boxes)
    label_height = line_height(SMALL) + 0.6
    canvas.room_for(label_height + height)
    shares = sum(box.share for box in row.boxes)
    x, free = canvas.left, canvas.inner - GAP_MM * (len(row.boxes) - 1)
    for box in row.boxes:
        width = free * box.share / shares
        _draw_box(canvas, box, x, width, height, label_height)
        x += width + GAP_MM
    canvas.y += label_height + height + GAP_MM


def _draw_box(canvas: Canvas, box: Box, x: float, width: float, height: float, label_height: float) -> None:
    label = canvas.lines(box.label, width, SMALL, bold=True, most=1)
    canvas.write(x, canvas.y, label, SMALL, bold=True)
    taken = canvas.measure(label[0], SMALL, bold=True) + 1.2
    hint = canvas.lines(f"({box.hint})", canvas.inner, TINY, most=1) if box.hint else [""]
    if canvas.measure(hint[0], TINY) <= width - taken:
        canvas.write(x + taken, canvas.y + 0.1, hint, TINY)
    top = canvas.y + label_height
    canvas.box(x, top, width, height)
    if box.filled:
        lines, size = _filled(canvas, box.filled, width - 2 * INSIDE_MM, height)
        inside = len(lines) * line_height(size)
        canvas.write(x + INSIDE_MM, top + (height - inside) / 2, lines, size)


def _filled(canvas: Canvas, text: str, width: float, height: float) -> tuple[list[str], float]:
    """The text in one line of a large size where it fits, else in as many small ones as there is room for."""
    large = canvas.lines(text, width, FILLED, most=2)
    if len(large) == 1:
        return large, FILLED
    return canvas.lines(text, width, SMALL, most=int((height - 1) // line_height(SMALL))), SMALL


def draw_scales(canvas: Canvas, row: Scales) -> None:
    """So many scales to a row, each with its box at the left and what its numbers mean beside it."""
    width = (canvas.inner - GAP_MM * (row.columns - 1)) / row.columns
    for begin in range(0, len(row.scales), row.columns):
        scales = row.scales[begin : begin + row.columns]
        told = [_told(canvas, scale, width - NUMBER_BOX_MM - GAP_MM) for scale in scales]
        height = max(WRITING_MM, *(sum(line_height(size) for _, size, _, _ in lines) for lines in told))
        canvas.room_for(height + GAP_MM)
        for place, lines in enumerate(told):
            x = canvas.left + place * (width + GAP_MM)
            canvas.box(x, canvas.y + 0.5, NUMBER_BOX_MM, WRITING_MM)
            y = canvas.y
            for line, size, bold, indent in lines:
                y = canvas.write(x + NUMBER_BOX_MM + GAP_MM + indent, y, [line], size, bold=bold)
        canvas.y += height + GAP_MM


def _told(canvas: Canvas, scale: Scale, width: float) -> list[tuple[str, float, bool, float]]:
    """The name of a scale, what it measures, and its steps: lines with size, weight and indent."""
    number_mm = 4.0
    lines = [(line, TEXT, True, 0.0) for line in canvas.lines(scale.name, width, TEXT, bold=True, most=1)]
    for words in scale.told:
        lines += [(line, TINY, False, 0.0) for line in canvas.lines(words, width, TINY, most=MOST_OF_A_SCALE)]
    for number, meaning in scale.steps:
        first, *rest = canvas.lines(f"{number}  {meaning}", width - number_mm, TINY, most=MOST_OF_A_SCALE)
        lines.append((first, TINY, False, 0.0))
        lines += [(line, TINY, False, number_mm) for line in rest]
    return lines
