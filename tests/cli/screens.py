"""What stands on a screen, read back: tables, names with values, and sentences, at any width and through a pipe.

A table is read by the names of its columns, which the test gives: where the layout puts them is found here, apart from
the code that put them there. Three layouts are known: cells between tabs (a pipe), columns (a terminal that is wide
enough), and blocks of a few lines (one that is not).
"""

import io
import os
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from datetime import datetime
from itertools import takewhile
from unittest.mock import patch

from rich.cells import cell_len

from obslog.cli.look.look import Depth, Look
from obslog.cli.main import main
from obslog.cli.terminal.screen import Screen
from tests.cli.program import Terminal

PIPED = None
WIDTHS = (220, 80, 40, PIPED)
ANY = "*"
"""Stands for the last column of a table where its name is not known beforehand, such as the scale of a picture."""
COMMA = "\0"
"""Stands for a comma inside a column's name, so that the name is not taken for two."""
Row = dict[str, str]
"""A row by the names of its columns; one without a name is given as "", or where there are several as "_1", "_2"."""


@dataclass(frozen=True)
class Shown:
    """What a command wrote: its results, its notes, and how wide the terminal was (None: a pipe)."""

    width: int | None
    out: str
    err: str

    @property
    def words(self) -> str:
        """The results with every run of blanks and line ends as one blank: sentences, however they were wrapped."""
        return " ".join(self.out.split())

    @property
    def notes(self) -> str:
        """The same of the notes."""
        return " ".join(self.err.split())

    def in_order(self, *texts: str) -> bool:
        """Whether all of them stand there, each after the one before."""
        at = 0
        for text in texts:
            found = self.words.find(text, at)
            assert found >= 0, f"{text!r} does not stand after what is to stand before it: {self.words}"
            at = found + len(text)
        return True

    @property
    def lines(self) -> list[str]:
        return self.out.splitlines()

    def rows(self, *columns: str, key: int = 0) -> list[Row]:
        """The rows of the table with these columns; `key` is the place of a column that is never empty nor wrapped."""
        if self.width is PIPED:
            return _between_tabs(self.lines, columns)
        header = _header(self.lines, columns)
        if header is not None:
            return _columns(self.lines, header, columns, key)
        header, left = _header_of_some(self.lines, columns)
        if header is None:
            return _blocks(self.lines, columns)
        return [dict.fromkeys(columns, "") | row for row in _columns(self.lines, header, left, key)]

    def fields(self) -> Row:
        """Names with their values, one a line."""
        gap = r"\t" if self.width is PIPED else r" {2,}"
        pairs = (re.fullmatch(rf"(\S.*?){gap}(\S.*)", line) for line in self.lines)
        return {pair[1]: pair[2] for pair in pairs if pair}


def screens(
    environment: Mapping[str, str], now: datetime, *words: str, widths: Sequence[int | None] = WIDTHS
) -> Iterator[Shown]:
    """What a command line, which has to succeed, shows in each width."""
    for width in widths:

        def run(_screen: Screen) -> None:
            code = main(words, lambda: now, dict(environment) | {"NO_COLOR": "1"})
            assert code == 0, f"{' '.join(words)}: exit {code}"

        yield _seen(run, width)


def shown_by(show: Callable[[Screen], None], widths: Sequence[int | None] = WIDTHS) -> Iterator[Shown]:
    """What a function writes to a screen in each width."""
    for width in widths:
        yield _seen(show, width)


def _seen(show: Callable[[Screen], None], width: int | None) -> Shown:
    out, err = (io.StringIO() if width is PIPED else Terminal() for _ in range(2))
    terminal = {"TERM": "xterm"} | ({} if width is None else {"COLUMNS": str(width)})
    with patch.dict(os.environ, terminal), redirect_stdout(out), redirect_stderr(err):
        show(Screen(out, err, Look(depth=Depth.NONE)))
    return Shown(width, out.getvalue(), err.getvalue())


def _between_tabs(lines: Sequence[str], columns: Sequence[str]) -> list[Row]:
    named = ["" if _unnamed(name) else name for name in columns if name != ANY]
    start = next((n for n, line in enumerate(lines) if line.split("\t")[: len(named)] == named), None)
    assert start is not None, f"no table with the columns {named} in {lines}"
    rows = []
    for line in lines[start + 1 :]:
        cells = line.split("\t")
        if len(cells) != len(lines[start].split("\t")):
            break
        rows.append(dict(zip(columns, cells, strict=False)))
    return rows


def _header(lines: Sequence[str], columns: Sequence[str]) -> int | None:
    """The line on which all columns stand in their order with nothing besides; None where the table is in blocks."""
    named = [re.escape(name) for name in columns if name != ANY and not _unnamed(name)]
    pattern = r"\s*" + r" {2,}".join(named) + (r" {2,}\S.*" if columns[-1] == ANY else r"\s*")
    return next((n for n, line in enumerate(lines) if re.fullmatch(pattern, line)), None)


def _header_of_some(lines: Sequence[str], columns: Sequence[str]) -> tuple[int | None, list[str]]:
    """The line with some of the columns in their order, and which: the empty ones are left out for want of room."""
    for place, line in enumerate(lines):
        left, every = re.split(r" {2,}", line.strip()), iter(columns)
        if len(left) > 1 and left[0] == columns[0] and all(name in every for name in left):
            return place, left
    return None, []


def _columns(lines: Sequence[str], header: int, columns: Sequence[str], key: int) -> list[Row]:
    wide = cell_len(lines[header])  # a table's lines are filled up with blanks to one width
    body = list(takewhile(lambda line: line.strip() and cell_len(line) == wide, lines[header + 1 :]))
    table = [lines[header], *body]
    edges = _edges(table, columns)
    rows: list[Row] = []
    for line in body:
        cells = [line[start:stop] for start, stop in zip(edges, [*edges[1:], None], strict=True)]
        if cells[key].strip() or not rows:
            rows.append(dict.fromkeys(columns, ""))
        for name, cell in zip(columns, cells, strict=True):
            keep = cell.rstrip() if name == ANY else f"{rows[-1][name]} {cell.strip()}".strip()
            rows[-1][name] = keep
    return rows


def _edges(table: Sequence[str], columns: Sequence[str]) -> list[int]:
    """Where each column begins: after two or more cells that are blank in all lines.

    Between two names the last such gap counts, for numbers may begin before the name that stands over them. A column
    without a name lies between the first gap after its left neighbour and the last before its right one.
    """
    edges, at, unnamed = [0], 0, _unnamed(columns[0])
    for place, name in enumerate(columns):
        if _unnamed(name):
            continue
        start = _start_of(table[0], name, at)
        if place:
            gaps = _gaps(table, at, start)
            assert gaps, f"no gap before {name!r} in {table}"
            if unnamed and place > 1:
                edges.append(gaps[0])
            edges.append(gaps[-1])
        at, unnamed = start + (0 if name == ANY else len(name)), _unnamed(*columns[place + 1 : place + 2])
    return edges


def _unnamed(name: str = ANY) -> bool:
    return not name or name.startswith("_")


def _start_of(header: str, name: str, at: int) -> int:
    return at + len(header[at:]) - len(header[at:].lstrip()) if name == ANY else header.index(name, at)


def _gaps(table: Sequence[str], left: int, right: int) -> list[int]:
    """The ends of the runs of two or more cells that are blank in all lines, from left to right."""
    blank = [all(line[place : place + 1] in ("", " ") for line in table) for place in range(left, right)]
    ends = [
        n
        for n in range(1, len(blank))
        if blank[n] and blank[n - 1] and (n + 1 == len(blank) or not blank[n + 1])
    ]
    return [left + n + 1 for n in ends]


def _blocks(lines: Sequence[str], columns: Sequence[str]) -> list[Row]:
    """Rows as blocks: a heading of the first cells, then lines of names with cells, set in."""
    headed = 3 if _unnamed(columns[0]) else 2
    named = [name for name in columns[headed:] if name != ANY]
    rows: list[Row] = []
    for at, line in enumerate(lines):
        following = lines[at + 1] if at + 1 < len(lines) else ""
        if line.startswith("  ") and rows:
            _take_parts(rows[-1], named, line)
        elif line.strip() and following.startswith("  "):
            cells = re.split(r" {2,}", line.strip())
            rows.append(dict.fromkeys(columns, "") | dict(zip(columns[:headed], cells, strict=False)))
    known = [row for row in rows if any(row[name] for name in named)]
    assert known, f"no block with one of {named} in {lines}"
    return known


def _unit_back(part: str, named: Sequence[str]) -> str:
    """`altitude 44°` of a column `altitude °` as the column has it: `altitude ° 44`; so `offset 2.0'E 3.0'N`."""
    for name in named:
        stem, _, unit = name.rpartition(" ")
        cell = part.removeprefix(f"{stem} ")
        measured = re.match(rf"[-+\d.]+ ?{unit}", cell) or re.fullmatch("[a-z]+", cell)
        if unit in ("°", "'", "%") and cell != part and measured:
            return f"{name} {re.sub(rf'(?<=[0-9]) ?{unit}', '', cell)}"
    return part


def _take_parts(row: Row, named: Sequence[str], line: str) -> None:
    """Each part that begins with a column's name is that column's cell; what does not goes on where the last ended."""
    goes_on = line.startswith("    ")
    for name in named:
        for told in (name, name.rpartition(" ")[0] + " "):  # the second where a unit stands behind its number
            line = line.replace(told, told.replace(", ", COMMA)) if ", " in told else line
    for place, piece in enumerate(line.strip().removesuffix(",").split(", ")):
        part = _unit_back(piece.replace(COMMA, ", "), named)
        begun = next(
            (
                n
                for n in sorted(named, key=len, reverse=True)
                if not _unnamed(n) and f"{part} ".startswith(f"{n} ")
            ),
            None,
        )
        filled = [n for n in named if row[n]]
        if begun is not None and not row[begun]:
            row[begun] = part.removeprefix(begun).strip()
        elif empty := [n for n in named if _unnamed(n) and not row[n]]:
            row[empty[0]] = part
        elif ANY in row and not (goes_on and place == 0):
            row[ANY] = part
        elif filled:
            row[filled[-1]] += f"{' ' if goes_on and place == 0 else ', '}{part}"
