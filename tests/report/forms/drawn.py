"""What stands where on the pages of a PDF: read from the file's own operators and widths, not from what drew it."""

import io
import re
from dataclasses import dataclass
from itertools import combinations, pairwise
from typing import Any

from pypdf import PdfReader
from pypdf.generic import ContentStream

ABOVE, BELOW = 0.73, 0.22
"""How far letters reach above and below their line, of the size: capitals and descenders of DejaVu Sans."""
SLACK = 0.4


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """A rectangle in points, y upward; `text` is what is written in it."""

    left: float
    bottom: float
    right: float
    top: float
    text: str = ""

    def holds(self, x: float, y: float) -> bool:
        return self.left <= x <= self.right and self.bottom <= y <= self.top

    def meets(self, other: "Area") -> bool:
        across = min(self.right, other.right) - max(self.left, other.left)
        along = min(self.top, other.top) - max(self.bottom, other.bottom)
        return across > SLACK and along > SLACK

    def within(self, other: "Area") -> bool:
        return (
            self.left >= other.left - SLACK
            and self.right <= other.right + SLACK
            and self.bottom >= other.bottom - SLACK
            and self.top <= other.top + SLACK
        )


@dataclass(frozen=True, slots=True)
class Page:
    """The paper, the texts set on it, and the boxes drawn on it."""

    paper: Area
    texts: list[Area]
    boxes: list[Area]


def pages_of(content: bytes) -> list[Page]:
    reader = PdfReader(io.BytesIO(content), strict=True)
    return [_page(page, reader) for page in reader.pages]


def text_of(content: bytes) -> str:
    """All that can be read in the file, with single spaces."""
    return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages).split())


def outside_the_page(page: Page, margin_pt: float = 25.0) -> list[str]:
    inner = Area(
        left=margin_pt,
        bottom=margin_pt / 2,
        right=page.paper.right - margin_pt,
        top=page.paper.top - margin_pt / 2,
    )
    return [area.text or "a box" for area in (*page.texts, *page.boxes) if not area.within(inner)]


def texts_over_texts(page: Page) -> list[tuple[str, str]]:
    return [(one.text, other.text) for one, other in combinations(page.texts, 2) if one.meets(other)]


def texts_over_their_boxes(page: Page) -> list[str]:
    """Texts that begin in a box and do not end in it: in the smallest of those that they begin in."""
    found = []
    for text in page.texts:
        around = [box for box in page.boxes if box.holds(text.left + 0.1, (text.bottom + text.top) / 2)]
        if around:
            smallest = min(around, key=lambda box: (box.right - box.left) * (box.top - box.bottom))
            if not text.within(smallest):
                found.append(text.text)
    return found


def _page(page: Any, reader: PdfReader) -> Page:
    fonts = {name: _Font(font.get_object()) for name, font in page["/Resources"]["/Font"].items()}
    texts, boxes, runs = [], [], list[Area]()
    font, size, x, y = next(iter(fonts.values())), 0.0, 0.0, 0.0
    for operands, operator in ContentStream(page.get_contents(), reader).operations:
        match operator:
            case b"BT":
                runs = []
            case b"Tf":
                font, size = fonts[operands[0]], float(operands[1])
            case b"Td" | b"Tm":  # one of each text at most, so that both say where it begins
                x, y = map(float, operands[-2:])
            case b"Tj":
                codes = _codes(operands)
                end = x + font.width(codes) * size / 1000
                low, high = y - BELOW * size, y + ABOVE * size
                runs.append(Area(left=x, bottom=low, right=end, top=high, text=font.text(codes)))
                x = end
            case b"ET":
                texts += [_joined(runs)] if runs else []
            case b"re":
                left, bottom, width, height = map(float, operands)
                low, high = sorted((bottom, bottom + height))
                boxes.append(Area(left=left, bottom=low, right=left + width, top=high))
    paper = Area(left=0, bottom=0, right=float(page.mediabox.width), top=float(page.mediabox.height))
    return Page(paper, texts, boxes)


def _joined(runs: list[Area]) -> Area:
    """What was set in one go: letters that join may lie over one another."""
    return Area(
        left=min(run.left for run in runs),
        bottom=min(run.bottom for run in runs),
        right=max(run.right for run in runs),
        top=max(run.top for run in runs),
        text="".join(run.text for run in runs),
    )


def _codes(strings: Any) -> list[int]:
    raw = b"".join(one.original_bytes for one in strings if hasattr(one, "original_bytes"))
    assert len(raw) % 2 == 0
    return [first * 256 + second for first, second in zip(raw[::2], raw[1::2], strict=True)]


class _Font:
    """The widths of a font's signs, and the signs themselves, from the PDF."""

    def __init__(self, font: Any) -> None:
        self._widths: dict[int, float] = {}
        inner = font["/DescendantFonts"][0].get_object()
        self._default = float(inner.get("/DW", 1000))
        numbers = list(inner["/W"])
        while numbers:
            first, second = int(numbers.pop(0)), numbers.pop(0)
            if isinstance(second, list):
                self._widths |= {first + place: float(width) for place, width in enumerate(second)}
            else:
                width = float(numbers.pop(0))
                self._widths |= dict.fromkeys(range(first, int(second) + 1), width)
        said = font["/ToUnicode"].get_data().decode("latin-1")
        pairs = re.findall(r"<([0-9A-Fa-f]{4})> <([0-9A-Fa-f]{4,})>\n", said)
        self._signs = {int(code, 16): bytes.fromhex(sign).decode("utf-16-be") for code, sign in pairs}

    def width(self, codes: list[int]) -> float:
        return sum(self._widths.get(code, self._default) for code in codes)

    def text(self, codes: list[int]) -> str:
        return "".join(self._signs.get(code, "�") for code in codes)


def stand_in_order(words: list[str], text: str) -> bool:
    """Whether the words are in the text one behind the other."""
    places = []
    begin = 0
    for word in words:
        begin = text.find(word, begin)
        if begin < 0:
            return False
        places.append(begin)
        begin += len(word)
    return all(one < other for one, other in pairwise(places))
