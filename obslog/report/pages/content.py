"""What a page is made of, whatever it is about: sections of paragraphs, lists, tables and pictures, in reading order.

Everything here is text of the club's or of people's own and never markup; the templates escape it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from obslog.report.pictures.picture import Picture


@dataclass(frozen=True, slots=True)
class Paragraph:
    text: str


@dataclass(frozen=True, slots=True)
class Bullets:
    """Points of a list, in order."""

    items: Sequence[str]


@dataclass(frozen=True, slots=True)
class Grouped:
    """What each of several has, one below the other: its name, and its points."""

    items: Sequence[tuple[str, Sequence[str]]]


@dataclass(frozen=True, slots=True)
class Links:
    """Other pages of the same folder: what each is called, its file, and a word about it."""

    items: Sequence[tuple[str, str, str]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows of cells; `numeric` says of each column whether it holds numbers, `caption` what the rows are."""

    caption: str
    columns: Sequence[str]
    rows: Sequence[Sequence[str]]
    numeric: Sequence[bool] = ()


Part = Paragraph | Bullets | Grouped | Links | Table | Picture


@dataclass(frozen=True, slots=True)
class Section:
    title: str
    parts: Sequence[Part]


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """A page: its kind (`mount`), its title, the one sentence that matters most, its sections, and its footer's lines.

    `up` is the page above it in its folder, where there is one: a file and what it is called.
    """

    kind: str
    title: str
    lead: str
    sections: Sequence[Section]
    footer: Sequence[str]
    up: tuple[str, str] | None = None
