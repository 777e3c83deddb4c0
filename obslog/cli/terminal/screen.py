"""What is shown and how: tables for a terminal, tab-separated lines for a pipe, one JSON document for a script.

Names and notes are other people's text: they are never read as markup, and signs that could steer a terminal are
replaced before they reach it.
"""

import json
import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import fields, is_dataclass
from datetime import UTC, date, datetime
from functools import cached_property
from io import StringIO
from typing import IO, TYPE_CHECKING, Any
from uuid import UUID

from obslog.cli.terminal.layout import READABLE, block, table_fits, wrapped
from obslog.estimate_words import interval_document
from obslog.values import Interval

if TYPE_CHECKING:
    from collections.abc import Iterator

    from rich.console import Console

DIM_RED = "#a00000"
_LINE_ENDS = dict.fromkeys(map(ord, "\t\n\r\v\f"), " ")


class Screen:
    """Standard output and standard error, in one theme; without `styles` a terminal gets the layout alone.

    Rich is imported when a terminal is first written to.
    """

    def __init__(self, out: IO[str], err: IO[str], *, red: bool = False, styles: bool = True) -> None:
        self._out, self._err, self._red, self._styles = out, err, red, styles
        self._styled = out.isatty()
        self._styled_err = err.isatty()

    @property
    def red(self) -> bool:
        """Whether a terminal is written to in the one dim red."""
        return self._red and self._styles

    @property
    def red_asked(self) -> bool:
        """Whether red was asked for at all: a file is drawn in it whatever the terminal gets."""
        return self._red

    @property
    def styles(self) -> bool:
        """Whether a terminal gets styles at all."""
        return self._styles

    def json(self, value: object) -> None:
        """Exactly one JSON document."""
        text = json.dumps(
            plain(value), indent=2, ensure_ascii=not _holds_any_sign(self._out), allow_nan=False
        )
        self._out.write(self.tinted(_escaped(text) + "\n"))

    @contextmanager
    def raw_output(self) -> "Iterator[IO[str]]":
        """Standard output as it is, for a sheet: lines end as they are written. A terminal gets it as shown text."""
        if self._out.isatty():
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
        self._out.flush()
        self._err.flush()

    def line(self, text: str = "", style: str = "", indent: int = 0, hang: int = 0) -> None:
        """A line of text; on a terminal a longer one is wrapped to its width, what is wrapped `hang` further in."""
        if self._styled:
            self._print(self._console, wrapped(self._console, shown(text), indent, hang), style)
        else:
            self._out.write(" " * indent + shown(text) + "\n")

    def fits(self, width: int) -> bool:
        """Whether lines of this many cells fit: through a pipe all do."""
        return not self._styled or self._console.width >= width

    def note(self, text: str, style: str = "", indent: int = 0, hang: int = 0) -> None:
        """A line on standard error: what is no result, but good to know."""
        if self._styled_err:
            self._print(self._err_console, wrapped(self._err_console, shown(text), indent, hang), style)
        else:
            self._err.write(" " * indent + shown(text) + "\n")

    def tinted(self, text: str) -> str:
        """Text that goes to standard output past Rich, as it is, in the red theme's one colour."""
        start, end = self._red_signs() if self._styled else ("", "")
        return f"{start}{text}{end}" if text else text

    def answer(self, question: str) -> str:
        """What is typed in answer, seen in the theme's colour; the question never mixes with piped output.

        Where the question leaves too little room beside it, the answer is typed below it. Raises EOFError.
        """
        if self._styled_err and len(question) > self._err_console.width // 2:
            self.note(question.rstrip())
            question = "> "
        start, end = self._red_signs() if self._styled_err else ("", "")
        self._err.write(start)
        try:
            if self._styled:
                self._err.flush()
                return input(question)
            self._err.write(question)
            self._err.flush()
            return input()
        finally:
            self._err.write(end)
            self._err.flush()

    def _red_signs(self) -> tuple[str, str]:
        """What turns the red on and off at a terminal; nothing in another theme, or where none may be used."""
        if not (self._red and self._styles):
            return "", ""
        from rich.text import Text

        console = self._err_console if self._styled_err else self._console
        with console.capture() as caught:
            console.print(Text("|"), end="")
        start, _, end = caught.get().partition("|")
        return start, end

    def table(self, columns: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
        """A table; numbers stand to the right. Through a pipe: a header and tab-separated cells.

        On a terminal too narrow for its columns each row becomes a block of a few lines.
        """
        cells = [[shown_cell(value) for value in row] for row in rows]
        if not self._styled:
            for row in ([*columns], *cells):
                self._out.write("\t".join(row) + "\n")
            return
        if not table_fits(self._console, columns, cells):
            self._blocks(columns, cells)
            return
        from rich.table import Table

        from obslog.cli.terminal.unbroken import Unbroken

        table = Table(box=None, pad_edge=False, header_style="bold", show_edge=False)
        for place, name in enumerate(columns):
            numeric = all(_is_number(row[place]) for row in cells)
            table.add_column(name, justify="right" if numeric and cells else "left", overflow="fold")
        for row in cells:
            table.add_row(*(Unbroken(cell) for cell in row))
        self._console.print(table)

    def fields(self, pairs: Iterable[tuple[str, object]]) -> None:
        """Names and values, one pair a line; a pair whose value is not known says so."""
        listed = [(name, shown_cell(value) or "unknown") for name, value in pairs]
        width = max((len(name) for name, _ in listed), default=0)
        for name, value in listed:
            if self._styled:
                self.line(f"{name:<{width}}  {value}", hang=min(width + 2, self._console.width // 2))
            else:
                self._out.write(f"{name}\t{value}\n")

    @contextmanager
    def progress(self, what: str, total: int) -> "Iterator[Callable[[int], None]]":
        """A bar on standard error while work goes on; gives the function that moves it. Nothing through a pipe."""
        if not self._styled_err:
            yield lambda _done: None
            return
        from rich.progress import Progress

        with Progress(console=self._err_console, transient=True) as bar:
            task = bar.add_task(what, total=total)
            yield lambda done: bar.advance(task, done)

    def _blocks(self, columns: Sequence[str], cells: Sequence[Sequence[str]]) -> None:
        long = [any(len(row[place]) > READABLE * 1.5 for row in cells) for place in range(len(columns))]
        for row in cells:
            first, *more = block(self._console, columns, row, long)
            self._print(self._console, [first], "bold")
            self._print(self._console, more)

    def _print(self, console: "Console", lines: Iterable[str], style: str = "") -> None:
        from rich.text import Text

        for line in lines:
            console.print(Text(line), style=style or None, no_wrap=True, overflow="ignore", crop=False)

    @cached_property
    def _console(self) -> "Console":
        return _console(self._out, self._red, self._styles)

    @cached_property
    def _err_console(self) -> "Console":
        return _console(self._err, self._red, self._styles)


def _console(file: IO[str], red: bool, styles: bool) -> "Console":
    """A console; in the red theme every style that Rich has is turned to the one dim red."""
    from rich.console import Console

    if not styles:
        return Console(file=file, highlight=False, color_system=None)
    if not red:
        return Console(file=file, highlight=False)
    from rich.default_styles import DEFAULT_STYLES
    from rich.style import Style
    from rich.theme import Theme

    dimmed = {
        name: Style(color=DIM_RED, bold=style.bold, dim=style.dim, reverse=style.reverse)
        for name, style in DEFAULT_STYLES.items()
    }
    return Console(file=file, highlight=False, style=DIM_RED, theme=Theme(dimmed, inherit=False))


def plain(value: object) -> Any:
    """The value as JSON has it: records as objects, instants in UTC with a Z, keys and words as text."""
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
    if isinstance(value, UUID):
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


def _is_number(cell: str) -> bool:
    return cell == "" or cell.replace(".", "", 1).replace("-", "", 1).replace("+", "", 1).isdigit()
