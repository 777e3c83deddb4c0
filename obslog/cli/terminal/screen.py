"""What is shown and how: tables for a terminal, tab-separated lines for a pipe, one JSON document for a script.

Names and notes are other people's text: they are never read as markup, and signs that could steer a terminal are
replaced before they reach it.
"""

import sys
from collections.abc import Callable, Iterable, Sequence
from contextlib import contextmanager
from io import StringIO
from typing import IO, TYPE_CHECKING, TextIO, cast

from obslog.cli.look.held import Held, Quarters, Stray
from obslog.cli.look.layout import (
    HEADED,
    READABLE,
    DrawnHeading,
    block,
    drawn_only,
    is_number,
    table_fits,
    without_empty_columns,
)
from obslog.cli.look.look import STYLE_SIGNS, Look
from obslog.cli.look.shown_stream import ShownStream
from obslog.cli.look.shown_values import json_document, shown, shown_cell

if TYPE_CHECKING:
    from collections.abc import Iterator

    from obslog.cli.look.held import Page


class Screen:
    """Standard output and standard error, in one look.

    Rich is imported when a terminal is first written to. After `hold` what is written to standard output is held back
    until `release`, for what is longer than the screen goes through the pager.
    """

    def __init__(self, out: IO[str], err: IO[str], look: Look | None = None) -> None:
        self.look = look or Look()
        self._out = ShownStream(out, self.look, red_piped=self.look.red_piped)
        self._err = ShownStream(err, self.look, red_piped=False)
        self._held: Held | None = None

    @property
    def terminal(self) -> tuple[IO[str], IO[str]]:
        """Both streams as they are, for what draws on them itself."""
        return self._out.own, self._err.own

    def hold(self, page: "Page", size: Callable[[], tuple[int, int]]) -> None:
        """From now on hold output back, so that `page` can show what needs more lines than `size` tells."""
        self._held = Held(self._out.own, self._err.own, size, page)
        self._out.file, self._err.file = self._held.out, self._held.err

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
        self._out.file.write(self._out.tinted(self._out.in_signs(STYLE_SIGNS.sub("", text))))

    def stray_note(self, text: str) -> None:
        """What a library wrote to standard error."""
        self._err.file.write(self._err.tint(self._err.in_signs(STYLE_SIGNS.sub("", text))))

    def json(self, value: object) -> None:
        """Exactly one JSON document; it never goes through the pager."""
        own = self._out.own
        document = json_document(value, any_sign=_holds_any_sign(own)) + "\n"
        self.release()
        own.write(self._out.tint(document) if self._out.styled else document)

    @contextmanager
    def raw_output(self) -> "Iterator[IO[str]]":
        """Standard output for a sheet: UTF-8 on every system, and lines end as they are written.

        A terminal gets it as shown text.
        """
        if self._out.styled:
            sheet = StringIO(newline="")
            yield sheet
            self._out.file.write(self.tinted(shown(sheet.getvalue().replace("\r\n", "\n"))))
            return
        reconfigure = getattr(self._out.file, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(newline="", encoding="utf-8", errors="strict")
        yield self._out.file

    def flush(self) -> None:
        """Send on what was written, so that a reader who has gone or a full disk is noticed now."""
        self.release()
        self._out.own.flush()
        self._err.own.flush()

    def line(self, text: str = "", style: str = "", indent: int = 0, hang: int = 0) -> None:
        """A line of text; on a terminal a longer one is wrapped to its width, what is wrapped `hang` further in."""
        self._out.say(shown(text), style, indent, hang)

    def fits(self, width: int) -> bool:
        """Whether lines of this many cells fit: through a pipe all do, and in the plain look none."""
        if self._out.plain:
            return False
        return not self._out.styled or self._out.console.width >= width

    @property
    def width(self) -> int | None:
        """The columns of the terminal; None through a pipe, which has no end."""
        return self._out.console.width if self._out.styled else None

    @property
    def draws(self) -> bool:
        """Whether pictures are drawn of signs."""
        return not self._out.plain

    def note(self, text: str, style: str = "", indent: int = 0, hang: int = 0) -> None:
        """A line on standard error: what is no result, but good to know."""
        self._err.say(shown(text), style, indent, hang)

    def tinted(self, text: str) -> str:
        """Text that goes to standard output past Rich, as it is, in the red look's one colour."""
        return self._out.tinted(text)

    def answer(self, question: str) -> str:
        """What is typed in answer, seen in the look's colour; the question never mixes with piped output.

        Where the question leaves too little room beside it, the answer is typed below it. Who is asked has begun a
        conversation, in which no page is turned. Raises EOFError.
        """
        self.hold_no_more()
        err = self._err
        if err.styled and len(question) > err.console.width // 2:
            self.note(question.rstrip())
            question = "> "
        start, end = self.look.red_signs if err.styled else ("", "")
        err.own.write(start)
        try:
            if not self._out.styled:
                err.own.write(question)
            err.own.flush()
            answer = input(question) if self._out.styled else input()
        finally:
            err.own.write(end)
            err.own.flush()
        if is_end(answer):
            raise EOFError
        return answer

    def table(self, columns: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
        """A table; numbers stand to the right. Through a pipe: a header and tab-separated cells.

        On a terminal too narrow for its columns those go that are empty; where that is not enough each row becomes a
        block of a few lines, and what is drawn a table of its own below them. In the plain look each cell is a line
        with the name of its column.
        """
        cells = [[shown_cell(value) for value in row] for row in rows]
        columns, cells = drawn_only(columns, cells)
        if self._out.plain:
            self._facts(columns, cells)
        elif not self._out.styled:
            for row in ([*columns], *cells):
                self._out.file.write(self.tinted("\t".join(row)) + "\n")
        elif table_fits(self._out.console, columns, cells):
            self._columns(columns, cells)
        elif table_fits(self._out.console, *(filled := without_empty_columns(columns, cells))):
            self._columns(*filled)
        else:
            self._blocks(columns, cells)

    def fields(self, pairs: Iterable[tuple[str, object]]) -> None:
        """Names and values, one pair a line; a pair whose value is not known says so."""
        listed = [(name, shown_cell(value) or "unknown") for name, value in pairs]
        width = max((len(name) for name, _ in listed), default=0)
        for name, value in listed:
            if self._out.plain:
                self.line(f"{name}: {value}")
            elif self._out.styled:
                self.line(f"{name:<{width}}  {value}", hang=min(width + 2, self._out.console.width // 2))
            else:
                self._out.file.write(self.tinted(f"{name}\t{value}") + "\n")

    @contextmanager
    def progress(self, what: str, total: int) -> "Iterator[Callable[[int], None]]":
        """A bar on standard error while work goes on; gives the function that moves it. Nothing through a pipe."""
        if not self._err.styled:
            yield lambda _done: None
            return
        self.release()
        if self.look.plain:
            yield Quarters(self.note, what, total).advance
            return
        from rich.progress import Progress

        with Progress(console=self._err.console, transient=True) as bar:
            task = bar.add_task(what, total=total)
            yield lambda done: bar.advance(task, done)

    def _columns(self, columns: Sequence[str], cells: Sequence[Sequence[str]]) -> None:
        from rich.table import Table

        from obslog.cli.look.unbroken import Unbroken

        head = "bold" if self.look.bold else ""
        table = Table(box=None, pad_edge=False, header_style=head, show_edge=False)
        for place, name in enumerate(columns):
            numeric = all(is_number(row[place]) for row in cells)
            table.add_column(
                Unbroken(name), justify="right" if numeric and cells else "left", overflow="fold"
            )
        for row in cells:
            table.add_row(*(Unbroken(cell) for cell in row))
        self._out.console.print(table)

    def _blocks(self, columns: Sequence[str], cells: Sequence[Sequence[str]]) -> None:
        drawn = [place for place, name in enumerate(columns) if isinstance(name, DrawnHeading)]
        told = [place for place in range(len(columns)) if place not in drawn]
        names = [columns[place] for place in told]
        long = [any(len(row[place]) > READABLE * 1.5 for row in cells) for place in told]
        for row in cells:
            first, *more = block(self._out.console, names, [row[place] for place in told], long)
            self._out.print([first], "bold")
            self._out.print(more)
        if drawn:
            seen = [*told[:HEADED], *drawn]
            self._out.print([""])
            self._columns(
                [columns[place] for place in seen], [[row[place] for place in seen] for row in cells]
            )

    def _facts(self, columns: Sequence[str], cells: Sequence[Sequence[str]]) -> None:
        """Each row as its known cells, one a line, and an empty line between two rows."""
        for number, row in enumerate(cells):
            if number:
                self.line()
            for name, cell in zip(columns, row, strict=True):
                if cell and not isinstance(name, DrawnHeading):
                    self.line(f"{name}: {cell}" if name else cell)


def is_end(line: str) -> bool:
    """Whether somebody has typed Ctrl-D where that does not end the input by itself, as in a window of Windows."""
    return line.strip() == "\x04"


def _holds_any_sign(file: IO[str]) -> bool:
    return (getattr(file, "encoding", None) or "utf-8").lower().replace("_", "-").startswith("utf")
