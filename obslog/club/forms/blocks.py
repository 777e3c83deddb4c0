"""What a sheet is made of: headings, explanations, boxes, scales, ticks and tables, in the order of the paper.

Plain records. Nothing here knows how large a page is; the writers in `obslog/report/forms` decide that.
"""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading within the sheet, on a page of its own where `new_page`."""

    words: str
    new_page: bool = False


@dataclass(frozen=True, slots=True)
class Explanation:
    """A sentence or two that say what to write; `strong` where it must not be passed over."""

    words: str
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Caution:
    """What can hurt, in a frame."""

    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A box to write in, its label and hint above it; `filled` is what is known already.

    `share` is its part of the width of the row, `lines` how many lines one may write.
    """

    label: str
    hint: str = ""
    filled: str | None = None
    share: float = 1.0
    lines: int = 1


@dataclass(frozen=True, slots=True)
class Boxes:
    """Boxes side by side."""

    boxes: tuple[Box, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """A scale with a box for its number, and what its steps mean beside it.

    `meaning` is what it measures, `direction` which end is better, empty where neither is.
    """

    name: str
    meaning: str
    direction: str
    steps: tuple[tuple[str, str], ...] = ()

    @property
    def told(self) -> tuple[str, ...]:
        """What it measures and, where no step says so, which end is better."""
        return (self.meaning,) if self.steps or not self.direction else (self.meaning, self.direction)


@dataclass(frozen=True, slots=True)
class Scales:
    """Scales side by side, so many to a row."""

    scales: tuple[Scale, ...]
    columns: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """Something to do and to tick: its title, what is told of it, what stands out, and what is written beside it."""

    title: str
    told: tuple[str, ...] = ()
    values: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    write: str | None = None


@dataclass(frozen=True, slots=True)
class Ticks:
    """Things to tick, with a box under each of the heads before each of them."""

    heads: tuple[str, ...]
    tasks: tuple[Task, ...]


class ColumnKind(StrEnum):
    """A column of text, of numbers below each other, of boxes to tick, or of words of which one is ringed."""

    TEXT = "text"
    NUMBER = "number"
    TICK = "tick"
    RING = "ring"


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column of a table; a `words` column prints its words in each cell that is blank, for one to be ringed."""

    title: str
    share: float
    kind: ColumnKind = ColumnKind.TEXT
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table: rows that are known, their cells blank where one writes, and rows to fill.

    `writing` makes each row high enough for a cold hand; where `fills_page`, blank rows go on to the end of the page.
    `belongs_to` says of what it is where it goes on on another page, in place of the heading above it.
    """

    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...] = ()
    blank_rows: int = 0
    writing: bool = False
    fills_page: bool = False
    belongs_to: str = ""


Block = Heading | Explanation | Caution | Boxes | Scales | Ticks | Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """A sheet: its title, what it is about (both stand at the head of each page), its day, and its blocks.

    `dated` is a day that the content itself gives, so that the same sheet is the same file.
    """

    title: str
    about: str
    dated: date
    blocks: tuple[Block, ...]
