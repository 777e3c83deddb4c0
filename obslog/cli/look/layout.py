"""How text and tables are laid into a terminal: whole words, hanging indents, blocks where a table does not fit.

Widths are in character cells: a wide sign of East Asia takes two.
"""

import re
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.console import Console

GAP = 2
READABLE = 16  # cells that a column of longer text needs, so that folding it does not chop it to pieces
HEADED = 2  # the first cells of a row, which say which row it is
LEAST = 10  # cells that are left for text beside any indent
_A_NUMBER = re.compile(r"\d+(?:\.\d+)?")
UNITS = (" °", " '", " %")  # in which the name of a column ends that has a unit


class DrawnHeading(str):
    """The heading of a column that is drawn and not written: no look without signs shows it."""

    __slots__ = ()


def wrapped(console: "Console", text: str, indent: int = 0, hang: int = 0) -> list[str]:
    """The text in lines no wider than the terminal, from `indent` on; what is wrapped starts `hang` further right."""
    lines: list[str] = []
    for paragraph in text.split("\n"):
        whole = _folded(console, paragraph, max(console.width - indent, LEAST))
        first = whole[0] if whole else ""
        lines.append(" " * indent + first.rstrip())
        if len(whole) > 1:
            margin = min(indent + hang, max(console.width - LEAST, 0))
            rest = paragraph[len(first) :].lstrip()
            lines += [
                " " * margin + line.rstrip()
                for line in _folded(console, rest, max(console.width - margin, LEAST))
            ]
    return lines


def table_fits(console: "Console", columns: Sequence[str], cells: Sequence[Sequence[str]]) -> bool:
    """Whether the table can be read in this width: short columns whole, long ones folded to no fewer than 16 cells."""
    from rich.cells import cell_len

    widest = [max(map(cell_len, column)) for column in zip(columns, *cells, strict=True)]
    return sum(min(width, READABLE) for width in widest) + GAP * (len(columns) - 1) <= console.width


def without_empty_columns(
    columns: Sequence[str], cells: Sequence[Sequence[str]]
) -> tuple[list[str], list[list[str]]]:
    """The table with the columns alone in which something stands."""
    filled = [place for place in range(len(columns)) if any(row[place] for row in cells)]
    return [columns[place] for place in filled], [[row[place] for place in filled] for row in cells]


def drawn_only(columns: Sequence[str], cells: list[list[str]]) -> tuple[Sequence[str], list[list[str]]]:
    """The table without the pictures in which there is nothing to be seen."""
    kept = [place for place, name in enumerate(columns) if name or not isinstance(name, DrawnHeading)]
    return [columns[place] for place in kept], [[row[place] for place in kept] for row in cells]


def block(
    console: "Console", columns: Sequence[str], row: Sequence[str], long: Sequence[bool]
) -> Iterator[str]:
    """A row where its table does not fit: its first cells as a heading, then what else is known of it, with its names.

    The heading is the first two cells, or three where the first is a number without a name. `long` says of each column
    whether it holds long text; those come last, on lines of their own.
    """
    headed = HEADED if columns[0] else HEADED + 1
    told = list(map(_named, columns, row))
    yield from wrapped(console, (" " * GAP).join(cell for cell in row[:headed] if cell), hang=GAP)
    cells = [(told[place], long[place]) for place in range(headed, len(row)) if row[place]]
    yield from _packed(console, [words for words, is_long in cells if not is_long])
    for words, is_long in cells:
        if is_long:
            yield from wrapped(console, words, indent=GAP, hang=GAP)


def _named(name: str, cell: str) -> str:
    """A cell behind the name of its column; a unit in which the name ends stands behind each number instead."""
    if name.endswith(UNITS):
        unit = " %" if name.endswith("%") else name[-1]
        return f"{name[:-2]} {_A_NUMBER.sub(lambda number: number[0] + unit, cell)}"
    return f"{name} {cell}".strip()


def is_number(cell: str) -> bool:
    """Whether nothing but a number stands in a cell; an empty one does not disturb a column of numbers."""
    return cell == "" or cell.replace(".", "", 1).replace("-", "", 1).replace("+", "", 1).isdigit()


def _packed(console: "Console", parts: Sequence[str]) -> Iterator[str]:
    """The parts behind one another with commas, as many to a line as fit, none of them broken if it can be helped."""
    from rich.cells import cell_len

    line = ""
    for part in parts:
        if line and GAP + cell_len(line) + len(", ") + cell_len(part) + len(",") > console.width:
            yield from wrapped(console, f"{line},", indent=GAP, hang=GAP)
            line = ""
        line = f"{line}, {part}" if line else part
    if line:
        yield from wrapped(console, line, indent=GAP, hang=GAP)


def _folded(console: "Console", text: str, width: int) -> list[str]:
    from obslog.cli.look.unbroken import Unbroken

    return [line.plain for line in Unbroken(text).wrap(console, width)]
