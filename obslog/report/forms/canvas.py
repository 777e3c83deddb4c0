"""A sheet being drawn: pages of a paper with head and foot, text that is measured before it is set, boxes and lines.

Lengths are millimetres, from the upper left corner; sizes of type are points.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from functools import lru_cache
from typing import Any

from obslog.report.forms.fonts import BOLD, REGULAR, font_file
from obslog.report.forms.paper import BOTTOM_MM, LEFT_MM, RIGHT_MM, TOP_MM, PaperSize
from obslog.report.forms.printed import MADE_BY
from obslog.report.forms.signs import in_font, needs_shaping, one_line
from obslog.report.forms.wrapping import wrapped

MM_PER_POINT = 25.4 / 72
LEADING = 1.22
TEXT, SMALL, TINY = 9.0, 7.5, 7.0
TITLES, TITLE_SHARE = (15.0, 12.0, TEXT), 0.66
HEAD_GAP_MM, FIRST_HEAD_MM, NEXT_HEAD_MM = 3.0, 9.0, 6.0
_FAMILY = "sheet"


class Canvas:
    """Draws on one page after the other; `y` is where the next block begins. One that is `bare` has no head or foot."""

    def __init__(self, paper: PaperSize, title: str, about: str, dated: date, *, bare: bool = False) -> None:
        self._bare = bare
        self.width, self.height = paper.size_mm
        self.left, self.right = LEFT_MM, self.width - RIGHT_MM
        self.bottom = self.height - BOTTOM_MM
        self.title, self.about = title, about
        self.y = TOP_MM
        self.pages = 0
        self._replaced: dict[str, int] = {}
        self._pdf = self._document(dated)
        self._measured = lru_cache(maxsize=20_000)(self._measure)
        self.new_page()

    @property
    def inner(self) -> float:
        """The width between the margins."""
        return self.right - self.left

    @property
    def signs_replaced(self) -> int:
        """How many signs of the texts that were set the font does not have."""
        return sum(self._replaced.values())

    @property
    def left_on_page(self) -> float:
        """How much of the page is left below."""
        return self.bottom - self.y

    def _document(self, dated: date) -> Any:
        from fpdf import FPDF

        pdf = FPDF(unit="mm", format=(self.width, self.height))
        pdf.set_auto_page_break(False)
        pdf.c_margin = 0
        pdf.add_font(_FAMILY, "", font_file(REGULAR))
        pdf.add_font(_FAMILY, "B", font_file(BOLD))
        pdf.set_creation_date(datetime(dated.year, dated.month, dated.day, tzinfo=UTC))
        pdf.set_title(one_line(f"{self.title}, {self.about}" if self.about else self.title))
        pdf.set_creator(MADE_BY)
        pdf.set_producer(MADE_BY)
        pdf.set_lang("en")
        pdf.set_line_width(0.25)
        return pdf

    def new_page(self) -> None:
        self._pdf.add_page()
        self.pages += 1
        if not self._bare:
            self._foot()
            self._head()

    def _head(self) -> None:
        """The title, large on the first page; what the sheet is about beside it or below."""
        first = self.pages == 1
        height = FIRST_HEAD_MM if first else NEXT_HEAD_MM
        title, size = self._title(TITLES if first else TITLES[-1:])
        room = self.inner - self.measure(title, size, bold=True) - 4
        about = self.lines(self.about, room, TEXT, most=1)[0] if self.about else ""
        base = TOP_MM + height - 1.5
        self._set(self.left, base, title, size, bold=True)
        self._set(self.right - self.measure(about, TEXT), base, about, TEXT)
        self.rule(TOP_MM + height, 0.5 if first else 0.25)
        self.y = TOP_MM + height + HEAD_GAP_MM

    def _title(self, sizes: tuple[float, ...]) -> tuple[str, float]:
        """The title in the largest of the sizes in which it fits; in the least it is cut."""
        width = self.inner * TITLE_SHARE
        for size in sizes:
            title, *more = self.lines(self.title, width, size, bold=True)
            if not more:
                return title, size
        return self.lines(self.title, width, sizes[-1], bold=True, most=1)[0], sizes[-1]

    def _foot(self) -> None:
        words = f"page {self.pages} of {{nb}}"
        width = self.measure(f"page {self.pages} of 00", SMALL)
        self._set(self.right - width, self.height - BOTTOM_MM / 2, words, SMALL)

    def room_for(self, height: float) -> bool:
        """Make sure of so much room: where the page has less left, a new one begins, and that is said."""
        if height <= self.left_on_page:
            return False
        self.new_page()
        return True

    def lines(
        self, text: str, width: float, size: float, *, bold: bool = False, most: int | None = None
    ) -> list[str]:
        """The text in lines of that width, as the font can show it."""
        drawn, replaced = in_font(one_line(text), self._has_glyph)
        self._replaced[text] = replaced  # once, however often the text is measured or set
        return wrapped(drawn, width, lambda line: self.measure(line, size, bold=bold), most)

    def measure(self, line: str, size: float, *, bold: bool = False) -> float:
        """How wide a line is."""
        return float(self._measured(line, bold)) * size

    def write(self, x: float, y: float, lines: list[str], size: float, *, bold: bool = False) -> float:
        """Set lines below `y`, and give where they end."""
        for line in lines:
            y += line_height(size)
            self._set(x, y - 0.28 * line_height(size), line, size, bold=bold)
        return y

    def box(self, x: float, y: float, width: float, height: float, line: float = 0.25) -> None:
        self._pdf.set_line_width(line)
        self._pdf.rect(x, y, width, height)

    def fill(self, x: float, y: float, width: float, height: float) -> None:
        """A black box."""
        self._pdf.set_fill_color(0)
        self._pdf.rect(x, y, width, height, style="F")

    def rule(self, y: float, line: float = 0.25) -> None:
        self._pdf.set_line_width(line)
        self._pdf.line(self.left, y, self.right, y)

    def as_bytes(self) -> bytes:
        """The whole file; nothing can be drawn after it."""
        content = bytes(self._pdf.output())
        for font in self._pdf.fonts.values():
            font.ttfont.close()
        return content

    def _set(self, x: float, base: float, line: str, size: float, *, bold: bool = False) -> None:
        """A line with its letters standing on `base`."""
        if not line:
            return
        self._pdf.set_font(_FAMILY, "B" if bold else "", size)
        height = size * MM_PER_POINT
        with self._shaping(line):
            # The library sets letters 0.3 of the size below the middle.
            self._pdf.set_xy(x, base - 0.8 * height)
            self._pdf.cell(w=0, h=height, text=line)

    def _measure(self, line: str, bold: bool) -> float:
        """The width for each point of size."""
        self._pdf.set_font(_FAMILY, "B" if bold else "", 10)
        with self._shaping(line):
            return float(self._pdf.get_string_width(line)) / 10

    @contextmanager
    def _shaping(self, line: str) -> Iterator[None]:
        """Joined letters, and lines from right to left, where the text has such; others are set as they stand."""
        shaped = needs_shaping(line)
        if shaped:
            self._pdf.set_text_shaping(True, features={"liga": False})
        try:
            yield
        finally:
            if shaped:
                self._pdf.set_text_shaping(False)

    def _has_glyph(self, sign: str) -> bool:
        return all(ord(sign) in self._pdf.fonts[_FAMILY + style].cmap for style in ("", "B"))


def line_height(size: float) -> float:
    """From line to line."""
    return size * MM_PER_POINT * LEADING
