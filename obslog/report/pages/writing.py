"""Writes a page as one file of HTML: nothing is fetched, no script is needed, and every text of people's own is text.

Templates lie in `obslog/report/templates`. Jinja2 escapes whatever is put into them; before that, signs that are not
seen and could turn a line around are taken out. A line at the top says which program made the page.
"""

import re
from collections.abc import Iterator, Sequence
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any
from unicodedata import bidirectional

from obslog.report.pages.content import Page, Part
from obslog.report.pictures.ink import STYLES
from obslog.report.plain_text import css_string, label, seen

if TYPE_CHECKING:
    from jinja2 import Environment

MADE_BY = '<meta name="generator" content="obslog, a page of the club\'s">'
TOP = '<!DOCTYPE html>\n<html lang="en"'
_LOOKED_THROUGH = 400
SHORT_LETTERS = 16
"""A column whose cells are no longer than this is not broken into lines."""
LONGEST_ON_PAPER = 70
"""Of a title in the head of every printed sheet: that much stands on one line beside the number."""
MOST_SHORT_COLUMNS = 10  # page.css has a rule for each
_TRADE_WORD = r"\b(?:[Gg]o-tos?|[Ss]et-ups?)\b"
_KEPT_WHOLE = (
    r"\d{4}-\d\d-\d\d",
    r"[-+]?[\d.,]+'? ± [\d.,]+'?",
    r"[\d.]+e[-+]\d+",
    r"[\d.]+[EW] [\d.]+[NS]",
    r"\b[A-Z]{3} [\d,]+\.\d\d",
    r"[\d.,]+ %",
    r"--[a-z][a-z-]*",
    _TRADE_WORD,
)
_LEFTWARD = "[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc]"
_PIECE = re.compile(
    rf"(?P<whole>{'|'.join(_KEPT_WHOLE)})|(?P<leftward>{_LEFTWARD}(?:[\s.'’\"-]*{_LEFTWARD})*)"
)


def page_html(page: Page, *, style: str | None = None) -> str:
    """The page as HTML, in the reader's own choice of light or dark; `style` names another to begin with."""
    template = _environment().get_template("page.html.j2")
    on_paper = css_string(label(page.title, LONGEST_ON_PAPER))
    return template.render(page=page, style=style, made_by=MADE_BY, palettes=_palettes(), on_paper=on_paper)


def is_page(text: str) -> bool:
    """Whether the text, or the beginning of it, is a page that was made here."""
    return text.startswith(TOP) and MADE_BY in text[:_LOOKED_THROUGH]


@cache
def _environment() -> "Environment":
    from jinja2 import Environment, FunctionLoader, StrictUndefined

    environment = Environment(
        loader=FunctionLoader(_template),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_shown,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters["kind"] = _kind
    environment.filters["inline_svg"] = _inline_svg
    environment.filters["in_lines"] = _in_lines
    environment.filters["in_cell"] = _in_cell
    environment.filters["short_columns"] = short_columns
    return environment


def _template(name: str) -> str:
    return (files("obslog.report") / "templates" / name).read_text(encoding="utf-8")


def _kind(part: Part) -> str:
    """By which macro a part is written."""
    return type(part).__name__.casefold()


def _inline_svg(part: Any) -> Any:
    from markupsafe import Markup

    from obslog.report.pictures.drawing import inline_svg

    return Markup(inline_svg(part))


def _in_lines(text: str) -> Any:
    """Running text in which no date, sum, percentage, uncertainty, offset, option or set-up is broken at a line's end.

    A name that is read from right to left turns nothing around that stands beside it in a sentence of ours.
    """
    from markupsafe import Markup

    return Markup().join(_pieces(seen(text)))


def _in_cell(text: str) -> Any:
    """What a cell holds; a short one is broken into lines at no more than a hyphen."""
    short = len(text) <= SHORT_LETTERS and not re.search(_TRADE_WORD, text)
    return seen(text) if short else _in_lines(text)


def _pieces(text: str) -> Iterator[Any]:
    from markupsafe import Markup, escape

    end = 0
    own = _begins_leftward(text)
    for piece in _PIECE.finditer(text):
        yield escape(text[end : piece.start()])
        if piece["whole"]:
            yield Markup('<span class="whole">{}</span>').format(piece[0])
        else:
            yield escape(piece[0]) if own else Markup("<bdi>{}</bdi>").format(piece[0])
        end = piece.end()
    yield escape(text[end:])


def _begins_leftward(text: str) -> bool:
    """Whether the first letter is one that is read from right to left: then the whole is somebody's own text."""
    return next((kind != "L" for kind in map(bidirectional, text) if kind in ("L", "R", "AL")), False)


def short_columns(rows: Sequence[Sequence[str]]) -> str:
    """The classes that keep the short columns of a table in one line: `s1 s3` of the first and the third."""
    columns = list(zip(*rows, strict=True))[:MOST_SHORT_COLUMNS]
    short = [all(len(cell) <= SHORT_LETTERS for cell in cells) for cells in columns]
    return " ".join(f"s{number}" for number, is_short in enumerate(short, start=1) if is_short)


def _shown(value: Any) -> Any:
    """Text without signs that steer; markup of our own passes as it is."""
    if isinstance(value, str) and not hasattr(value, "__html__"):
        return seen(value)
    return value


def _palettes() -> dict[str, str]:
    """Each style's colours as CSS variables, by which the page and its pictures are coloured."""
    return {
        name: " ".join(f"--{role}: {colour};" for role, colour in ink.roles().items())
        for name, ink in STYLES.items()
    }
