"""Tables and things to tick of a sheet, drawn as a PDF; on a further page a table says of what it is."""

from dataclasses import dataclass

from obslog.club.forms.blocks import Column, ColumnKind, Table, Task, Ticks
from obslog.report.forms.canvas import SMALL, TEXT, TINY, Canvas, line_height
from obslog.report.forms.paper import WRITING_MM
from obslog.report.forms.signs import first_and_rest

TICK_MM, STEP_MM, CELL_MM, PADDING_MM, WRITE_MM = 6.0, 11.0, 1.0, 1.2, 46.0
PRINTED_MM = 5.5
RINGED, RINGED_APART = 7.5, "   "
MOST_LINES, MOST_TOLD = 3, 5
Lines = list[tuple[str, float, bool]]
"""Lines with their sizes, and whether they are bold."""


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a column stands."""

    column: Column
    x: float
    width: float


def draw_table(canvas: Canvas, table: Table, belongs_to: str = "") -> None:
    """The table; on each further page it says to what its rows belong, for a hand that writes or sorts there."""
    places = _places(canvas, table)
    least = WRITING_MM if table.writing else PRINTED_MM
    head = [_head_lines(canvas, place) for place in places]
    rows = [
        [_cell_lines(canvas, place, cell) for place, cell in zip(places, row, strict=True)]
        for row in table.rows
    ]
    blank = [_cell_lines(canvas, place, "") for place in places]
    rows += [blank] * table.blank_rows
    canvas.room_for(_height(head, 0) + _height(rows[0] if rows else blank, least))
    _draw_row(canvas, places, head, _height(head, 0), is_head=True)
    for row in rows:
        height = _height(row, least)
        if canvas.room_for(height):
            _say_again(canvas, belongs_to)
            _draw_row(canvas, places, head, _height(head, 0), is_head=True)
        _draw_row(canvas, places, row, height)
    while table.fills_page and canvas.left_on_page >= least:
        _draw_row(canvas, places, blank, least)
    canvas.y += 2.0


def _say_again(canvas: Canvas, belongs_to: str) -> None:
    if belongs_to:
        (line,) = canvas.lines(f"{belongs_to}, continued", canvas.inner, TEXT, bold=True, most=1)
        canvas.y = canvas.write(canvas.left, canvas.y, [line], TEXT, bold=True) + 1.0


def _places(canvas: Canvas, table: Table) -> list[_Place]:
    shares, x, places = sum(column.share for column in table.columns), canvas.left, []
    for column in table.columns:
        width = canvas.inner * column.share / shares
        places.append(_Place(column, x, width))
        x += width
    return places


def _head_lines(canvas: Canvas, place: _Place) -> Lines:
    width = place.width - 2 * CELL_MM
    return [(line, TINY, True) for line in canvas.lines(place.column.title, width, TINY, bold=True, most=3)]


def _cell_lines(canvas: Canvas, place: _Place, cell: str) -> Lines:
    """What is known in one size, a second line of it smaller; in a blank cell, the words of which one is ringed."""
    width = place.width - 2 * CELL_MM
    if place.column.kind is ColumnKind.TICK:
        return []
    if not cell and place.column.words:
        return [(row, RINGED, False) for row in _ringed_rows(canvas, place.column.words, width)]
    first, rest = first_and_rest(cell)
    lines = [(line, TEXT, False) for line in canvas.lines(first, width, TEXT, most=MOST_LINES)]
    if rest:
        lines += [(line, TINY, False) for line in canvas.lines(rest, width, TINY, most=MOST_LINES)]
    return lines


def _ringed_rows(canvas: Canvas, words: tuple[str, ...], width: float) -> list[str]:
    """The words with room for a ring about each, in as few rows as they need."""
    rows = [words[0]]
    for word in words[1:]:
        longer = rows[-1] + RINGED_APART + word
        if canvas.measure(longer, RINGED) <= width:
            rows[-1] = longer
        else:
            rows.append(word)
    return rows


def _height(row: list[Lines], least: float) -> float:
    return max(least, *(sum(line_height(size) for _, size, _ in lines) + PADDING_MM for lines in row))


def _draw_row(
    canvas: Canvas, places: list[_Place], row: list[Lines], height: float, *, is_head: bool = False
) -> None:
    for place, lines in zip(places, row, strict=True):
        canvas.box(place.x, canvas.y, place.width, height, 0.4 if is_head else 0.2)
        if place.column.kind is ColumnKind.TICK and not is_head:
            canvas.box(
                place.x + (place.width - TICK_MM) / 2, canvas.y + (height - TICK_MM) / 2, TICK_MM, TICK_MM
            )
        inside = sum(line_height(size) for _, size, _ in lines)
        y = canvas.y + (height - inside) / 2
        for line, size, bold in lines:
            x = place.x + CELL_MM
            if place.column.kind is ColumnKind.NUMBER:
                x = place.x + place.width - CELL_MM - canvas.measure(line, size, bold=bold)
            y = canvas.write(x, y, [line], size, bold=bold)
    canvas.y += height


def draw_ticks(canvas: Canvas, ticks: Ticks) -> None:
    """Each task with a box under each head, what is told of it, and a box for what was read where one is wanted."""
    heads_mm = line_height(TINY) + 0.6
    for place, task in enumerate(ticks.tasks):
        lines = _task_lines(canvas, ticks, task)
        height = _task_height(task, lines)
        if canvas.room_for(height + (0.0 if place else heads_mm)) or not place:
            _draw_tick_heads(canvas, ticks)
            canvas.y += heads_mm
        _draw_task(canvas, ticks, task, lines)
        canvas.y += height
        if task.write:
            canvas.rule(canvas.y - 0.4, 0.1)
    canvas.y += 2.0


def _task_height(task: Task, lines: Lines) -> float:
    least = WRITING_MM if task.write else TICK_MM + 1
    return max(least, sum(line_height(size) for _, size, _ in lines)) + 1.6


def _draw_tick_heads(canvas: Canvas, ticks: Ticks) -> None:
    for place, head in enumerate(ticks.heads):
        canvas.write(canvas.left + place * STEP_MM, canvas.y, [head], TINY)


def _draw_task(canvas: Canvas, ticks: Ticks, task: Task, lines: Lines) -> None:
    for place in range(len(ticks.heads)):
        canvas.box(canvas.left + place * STEP_MM, canvas.y + 0.4, TICK_MM, TICK_MM)
    y = canvas.y + (0.0 if task.write else 1.4)
    for line, size, bold in lines:
        y = canvas.write(canvas.left + len(ticks.heads) * STEP_MM, y, [line], size, bold=bold)
    if task.write:
        x = canvas.right - WRITE_MM
        canvas.box(x, canvas.y + 0.4, WRITE_MM, WRITING_MM)
        canvas.write(x + 0.8, canvas.y + 0.8, canvas.lines(task.write, WRITE_MM - 2, 6.0, most=1), 6.0)


def _task_lines(canvas: Canvas, ticks: Ticks, task: Task) -> Lines:
    is_step = task.write is not None
    width = canvas.inner - len(ticks.heads) * STEP_MM - (WRITE_MM + 3 if is_step else 0)
    lines = [
        (line, TEXT if is_step else SMALL, is_step)
        for line in canvas.lines(task.title, width, TEXT if is_step else SMALL, bold=is_step, most=2)
    ]
    for words in task.told:
        lines += [(line, SMALL, False) for line in canvas.lines(words, width, SMALL, most=MOST_TOLD)]
    for words in task.values:
        lines += [
            (line, SMALL, True)
            for line in canvas.lines(f"> {words}", width, SMALL, bold=True, most=MOST_TOLD)
        ]
    for words in task.warnings:
        lines += [(line, SMALL, False) for line in canvas.lines(f"! {words}", width, SMALL, most=2)]
    return lines
