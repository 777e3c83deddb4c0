"""What is shown and how: tables for a terminal, tab-separated lines for a pipe, one JSON document for a script.

Names and notes are other people's text: they are never read as markup, and signs that could steer a terminal are
replaced before they reach it.
"""

import json
import math
import re
import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import fields, is_dataclass
from datetime import UTC, date, datetime
from functools import cached_property
from io import StringIO
from pathlib import PurePath
from typing import IO, TYPE_CHECKING, Any, TextIO, cast
from uuid import UUID

from obslog.cli.look.consoles import console_on
from obslog.cli.look.held import Held, Quarters, Stray
from obslog.cli.look.look import Look
from obslog.cli.look.plain_signs import plain_signs
from obslog.cli.terminal.layout import (
    HEADED,
    READABLE,
    Picture,
    block,
    is_number,
    table_fits,
    without_empty_columns,
    wrapped,
)
from obslog.estimate_words import interval_document
from obslog.values import Interval

if TYPE_CHECKING:
    from collections.abc import Iterator

    from rich.console import Console

    from obslog.cli.look.held import Page

_LINE_ENDS = dict.fromkeys(map(ord, "\t\n\r\v\f"), " ")
_STYLE = re.compile(r"\x1b\[[0-9;]*m")


class Screen:
    """Standard output and standard error, in one look.

    Rich is imported when a terminal is first written to. After `hold` what is written to standard output is held back
    until `release`, for what is longer than the screen goes through the pager.
    """

    def __init__(self, out: IO[str], err: IO[str], look: Look | None = None) -> None:
        self._out, self._err, self.look = out, err, look or Look()
        self._own_out, self._own_err = out, err
        self._held: Held | None = None
        self._styled = out.isatty()
        self._styled_err = err.isatty()
        self._plain = self.look.plain and (self._styled or self.look.plain_piped)
        self._plain_err = self.look.plain and (self._styled_err or self.look.plain_piped)

    @property
    def terminal(self) -> tuple[IO[str], IO[str]]:
        """Both streams as they are, for what draws on them itself."""
        return self._own_out, self._own_err

    def hold(self, page: "Page", size: Callable[[], tuple[int, int]]) -> None:
        """From now on hold output back, so that `page` can show what needs more lines than `size` tells."""
        self._held = Held(self._own_out, self._own_err, size, page)
        self._out, self._err = self._held.out, self._held.err

    def begin_answer(self) -> None:
        """All has been done: what is said from now on belongs to the answer."""
        if self._held is not None:
            self._held.begin()

    def release(self, *, paged: bool = True) -> None:
        """Send on what is held back: before a question, before an error, and at the end."""
        if self._held is not None and (failed := self._held.release(paged=paged)):
            self.note(failed)

    def hold_no_more(self) -> None:
        """From now on each line is seen at once: somebody types in answer to it."""
        self.release()
        if self._held is not None:
            self._held.stop()

    @contextmanager
    def heard_by_all(self) -> "Iterator[None]":
        """What libraries write to the terminal past the screen comes to it too, and so is red, plain and paged."""
        out, err = sys.stdout, sys.stderr
        sys.stdout = cast(TextIO, Stray(out, self.stray)) if out.isatty() else out
        sys.stderr = cast(TextIO, Stray(err, self.stray_note)) if err.isatty() else err
        try:
            yield
        finally:
            sys.stdout, sys.stderr = out, err

    def stray(self, text: str) -> None:
        """What a library wrote to standard output."""
        self._out.write(self.tinted(self._in_signs(_STYLE.sub("", text))))

    def stray_note(self, text: str) -> None:
        """What a library wrote to standard error."""
        said = _STYLE.sub("", text)
        self._err.write(self._tint(plain_signs(said) if self._plain_err else said))

    def json(self, value: object) -> None:
        """Exactly one JSON document; it never goes through the pager."""
        text = json.dumps(
            plain(value), indent=2, ensure_ascii=not _holds_any_sign(self._own_out), allow_nan=False
        )
        self.release()
        document = _escaped(text) + "\n"
        self._own_out.write(self._tint(document) if self._styled else document)

    @contextmanager
    def raw_output(self) -> "Iterator[IO[str]]":
        """Standard output as it is, for a sheet: lines end as they are written. A terminal gets it as shown text."""
        if self._styled:
            sheet = StringIO(newline="")
            yield sheet
            self._out.write(self.tinted(shown(sheet.getvalue().replace("\r\n", "\n"))))
            return
        reconfigure = getattr(self._out, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(newline="")
        yield self._out

    def flush(self) -> None:
        """Send on what was written, so that a reader who has gone or a full disk is noticed now."""
        self.release()
        self._own_out.flush()
        self._own_err.flush()

    def line(self, text: str = "", style: str = "", indent: int = 0, hang: int = 0) -> None:
        """A line of text; on a terminal a longer one is wrapped to its width, what is wrapped `hang` further in."""
        said = self._in_signs(shown(text))
        if self._styled:
            self._print(self._console, wrapped(self._console, said, indent, hang), style)
        else:
            self._out.write(self.tinted(" " * indent + said) + "\n")

    def fits(self, width: int) -> bool:
        """Whether lines of this many cells fit: through a pipe all do, and in the plain look none."""
        if self._plain:
            return False
        return not self._styled or self._console.width >= width

    @property
    def width(self) -> int | None:
        """The columns of the terminal; None through a pipe, which has no end."""
        return self._console.width if self._styled else None

    @property
    def draws(self) -> bool:
        """Whether pictures are drawn of signs."""
        return not self._plain

    def note(self, text: str, style: str = "", indent: int = 0, hang: int = 0) -> None:
        """A line on standard error: what is no result, but good to know."""
        said = plain_signs(shown(text)) if self._plain_err else shown(text)
        if self._styled_err:
            self._print(self._err_console, wrapped(self._err_console, said, indent, hang), style)
        else:
            self._err.write(" " * indent + said + "\n")

    def tinted(self, text: str) -> str:
        """Text that goes to standard output past Rich, as it is, in the red look's one colour."""
        return self._tint(text) if self._styled or self.look.red_piped else text

    def answer(self, question: str) -> str:
        """What is typed in answer, seen in the look's colour; the question never mixes with piped output.

        Where the question leaves too little room beside it, the answer is typed below it. Who is asked has begun a
        conversation, in which no page is turned. Raises EOFError.
        """
        self.hold_no_more()
        if self._styled_err and len(question) > self._err_console.width // 2:
            self.note(question.rstrip())
            question = "> "
        start, end = self.look.red_signs if self._styled_err else ("", "")
        self._own_err.write(start)
        try:
            if self._styled:
                self._own_err.flush()
                return input(question)
            self._own_err.write(question)
            self._own_err.flush()
            return input()
        finally:
            self._own_err.write(end)
            self._own_err.flush()

    def table(self, columns: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
        """A table; numbers stand to the right. Through a pipe: a header and tab-separated cells.

        On a terminal too narrow for its columns those go that are empty; where that is not enough each row becomes a
        block of a few lines, and what is drawn a table of its own below them. In the plain look each cell is a line
        with the name of its column.
        """
        cells = [[shown_cell(value) for value in row] for row in rows]
        columns, cells = _drawn_only(columns, cells)
        if self._plain:
            self._facts(columns, cells)
        elif not self._styled:
            for row in ([*columns], *cells):
                self._out.write(self.tinted("\t".join(row)) + "\n")
        elif table_fits(self._console, columns, cells):
            self._columns(columns, cells)
        elif table_fits(self._console, *(filled := without_empty_columns(columns, cells))):
            self._columns(*filled)
        else:
            self._blocks(columns, cells)

    def fields(self, pairs: Iterable[tuple[str, object]]) -> None:
        """Names and values, one pair a line; a pair whose value is not known says so."""
        listed = [(name, shown_cell(value) or "unknown") for name, value in pairs]
        width = max((len(name) for name, _ in listed), default=0)
        for name, value in listed:
            if self._plain:
                self.line(f"{name}: {value}")
            elif self._styled:
                self.line(f"{name:<{width}}  {value}", hang=min(width + 2, self._console.width // 2))
            else:
                self._out.write(self.tinted(f"{name}\t{value}") + "\n")

    @contextmanager
    def progress(self, what: str, total: int) -> "Iterator[Callable[[int], None]]":
        """A bar on standard error while work goes on; gives the function that moves it. Nothing through a pipe."""
        if not self._styled_err:
            yield lambda _done: None
            return
        self.release()
        if self.look.plain:
            yield Quarters(self.note, what, total).advance
            return
        from rich.progress import Progress

        with Progress(console=self._err_console, transient=True) as bar:
            task = bar.add_task(what, total=total)
            yield lambda done: bar.advance(task, done)

    def _columns(self, columns: Sequence[str], cells: Sequence[Sequence[str]]) -> None:
        from rich.table import Table

        from obslog.cli.terminal.unbroken import Unbroken

        head = "bold" if self.look.bold else ""
        table = Table(box=None, pad_edge=False, header_style=head, show_edge=False)
        for place, name in enumerate(columns):
            numeric = all(is_number(row[place]) for row in cells)
            table.add_column(
                Unbroken(name), justify="right" if numeric and cells else "left", overflow="fold"
            )
        for row in cells:
            table.add_row(*(Unbroken(cell) for cell in row))
        self._console.print(table)

    def _blocks(self, columns: Sequence[str], cells: Sequence[Sequence[str]]) -> None:
        drawn = [place for place, name in enumerate(columns) if isinstance(name, Picture)]
        told = [place for place in range(len(columns)) if place not in drawn]
        names = [columns[place] for place in told]
        long = [any(len(row[place]) > READABLE * 1.5 for row in cells) for place in told]
        for row in cells:
            first, *more = block(self._console, names, [row[place] for place in told], long)
            self._print(self._console, [first], "bold")
            self._print(self._console, more)
        if drawn:
            seen = [*told[:HEADED], *drawn]
            self._print(self._console, [""])
            self._columns(
                [columns[place] for place in seen], [[row[place] for place in seen] for row in cells]
            )

    def _facts(self, columns: Sequence[str], cells: Sequence[Sequence[str]]) -> None:
        """Each row as its known cells, one a line, and an empty line between two rows."""
        for number, row in enumerate(cells):
            if number:
                self.line()
            for name, cell in zip(columns, row, strict=True):
                if cell and not isinstance(name, Picture):
                    self.line(f"{name}: {cell}" if name else cell)

    def _print(self, console: "Console", lines: Iterable[str], style: str = "") -> None:
        from rich.text import Text

        used = style if self.look.bold else None
        for line in lines:
            console.print(Text(line), style=used or None, no_wrap=True, overflow="ignore", crop=False)

    def _in_signs(self, text: str) -> str:
        return plain_signs(text) if self._plain else text

    def _tint(self, text: str) -> str:
        start, end = self.look.red_signs if text else ("", "")
        return f"{start}{text}{end}"

    @cached_property
    def _console(self) -> "Console":
        return console_on(self._out, self.look)

    @cached_property
    def _err_console(self) -> "Console":
        return console_on(self._err, self.look)


def _drawn_only(columns: Sequence[str], cells: list[list[str]]) -> tuple[Sequence[str], list[list[str]]]:
    """The table without the pictures in which there is nothing to be seen."""
    kept = [place for place, name in enumerate(columns) if name or not isinstance(name, Picture)]
    return [columns[place] for place in kept], [[row[place] for place in kept] for row in cells]


def plain(value: object) -> Any:
    """The value as JSON has it: records as objects, instants in UTC with a Z, keys, files and words as text."""
    if isinstance(value, Interval):
        return interval_document(value)
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain(item) for item in value]
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat().replace("+00:00", "Z")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, UUID | PurePath):
        return str(value)
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value


def shown_cell(value: object) -> str:
    """A value as it stands in a table: nothing for an unknown one, yes or no, numbers without needless digits."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.6g}"
    if isinstance(value, (list, tuple)):
        return ", ".join(shown_cell(item) for item in value)
    return shown(str(plain(value)), one_line=True)


def shown(text: str, *, one_line: bool = False) -> str:
    """Text that cannot steer a terminal: unprintable signs become a question mark in a diamond."""
    keep = " " if one_line else " \n"
    if one_line:
        text = text.translate(_LINE_ENDS)
    return "".join(sign if sign.isprintable() or sign in keep else "\ufffd" for sign in text)


def _escaped(document: str) -> str:
    """The JSON document with its unprintable signs (all inside its strings) written as escapes."""
    if document.replace("\n", " ").isprintable():
        return document
    return "".join(
        sign if sign.isprintable() or sign == "\n" else json.dumps(sign)[1:-1] for sign in document
    )


def _holds_any_sign(file: IO[str]) -> bool:
    return (getattr(file, "encoding", None) or "utf-8").lower().replace("_", "-").startswith("utf")
