"""The annual report as plain text: one page of lines of at most 80 characters, long tables cut with their number.

What a narrower screen shows is cut by the same functions.
"""

from collections.abc import Callable, Iterator, Sequence
from textwrap import wrap

from obslog.club.annual.report_records import AnnualReport
from obslog.report.annual.sections import annual_sections, title, up_to_today
from obslog.report.annual.told import Cell, ToldSection, ToldTable

Measure = Callable[[str], int]
WIDTH = 80
PAGE = 64  # lines; an A4 sheet at six lines to the inch holds 70, less a margin
MOST_ROWS = 8
LONGEST_LINE = 4 * WIDTH  # of a list of names; the whole list is in the page to print
_GAP = 2
_HELD = "\N{NO-BREAK SPACE}%"  # a percentage while lines are broken, so that it stays on one


def annual_text(report: AnnualReport, cells_of: Measure = len) -> list[str]:
    """The lines of the page; where it would be longer than one, tables give way before sentences do.

    `cells_of` says how many cells of the screen a text takes, which is not the number of its letters.
    """
    sections, unfinished = annual_sections(report), up_to_today(report)
    for rows in range(MOST_ROWS, 0, -1):
        lines = [title(report), *([unfinished] if unfinished else [])]
        for section in sections:
            lines += ["", section.title.upper(), *_section(section, rows, cells_of)]
        if len(lines) <= PAGE:
            break
    return lines


def shortened(line: str) -> str:
    """The line, cut where it is a list of too many names."""
    return line if len(line) <= LONGEST_LINE else line[: LONGEST_LINE - 4] + " ..."


def rows_in_words(table: ToldTable, most_rows: int) -> list[list[str]]:
    """The first rows, every cell in words."""
    return [[_cell(cell) for cell in row] for row in table.rows[:most_rows]]


def rows_left_out(table: ToldTable, most_rows: int) -> str | None:
    """How many rows are not shown; None where all are."""
    more = len(table.rows) - most_rows
    return f"and {more} more (--into has all)" if more > 0 else None


def _section(section: ToldSection, most_rows: int, cells_of: Measure) -> Iterator[str]:
    for line in section.lines:
        short = shortened(line)
        for part in wrap(short.replace(" %", _HELD), WIDTH, initial_indent="  ", subsequent_indent="    "):
            yield part.replace(_HELD, " %")
    if section.table is not None and section.table.rows:
        yield from _table(section.table, most_rows, cells_of)


def _table(table: ToldTable, most_rows: int, cells_of: Measure) -> Iterator[str]:
    shown = rows_in_words(table, most_rows)
    widths = _widths([list(table.columns), *shown], cells_of)
    for row in ([*table.columns], *shown):
        cells = [
            _placed(_fitted(cell, width, cells_of), width, cells_of, right=right)
            for cell, width, right in zip(row, widths, table.numeric, strict=True)
        ]
        yield ("  " + (" " * _GAP).join(cells)).rstrip()
    more = rows_left_out(table, most_rows)
    if more is not None:
        yield f"  {more}"


def _widths(rows: Sequence[Sequence[str]], cells_of: Measure) -> list[int]:
    """The columns' widths; the widest give way until the row fits the page."""
    widths = [max(map(cells_of, column)) for column in zip(*rows, strict=True)]
    while 2 + sum(widths) + _GAP * (len(widths) - 1) > WIDTH:
        widths[widths.index(max(widths))] -= 1
    return widths


def _fitted(cell: str, width: int, cells_of: Measure) -> str:
    if cells_of(cell) <= width:
        return cell
    while cells_of(cell) > width - 2:
        cell = cell[:-1]
    return cell + ".."


def _placed(cell: str, width: int, cells_of: Measure, *, right: bool) -> str:
    rest = " " * (width - cells_of(cell))
    return rest + cell if right else cell + rest


def _cell(cell: Cell) -> str:
    return "?" if cell is None else " ".join(f"{cell}".split())
