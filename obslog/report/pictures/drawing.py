"""Draws a picture with matplotlib: as a file of its own, or as SVG that a page takes in and colours by its style.

The same picture gives the same bytes: no dates, no random keys. Text stays text. Pyplot is left alone, for it keeps
figures of its own. Matplotlib itself is imported when something is drawn.
"""

import logging
import re
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from html import escape
from io import BytesIO
from textwrap import wrap
from typing import TYPE_CHECKING, Any

from obslog.report.pictures.compact_svg import compact
from obslog.report.pictures.ink import LIGHT, Ink
from obslog.report.pictures.picture import Picture
from obslog.report.plain_text import label, seen

if TYPE_CHECKING:
    from matplotlib.figure import Figure

MM_PER_INCH = 25.4
PNG_DOTS_PER_INCH = 200
FORMATS = ("svg", "png", "pdf")
MAKER = "drawn by obslog"  # in each file of its own, so that it is known again

_TITLE_LETTERS, _TITLE_LINES = 54, 3  # on a line 120 mm wide
_TITLE_LINE_MM, _EDGE_MM = 5.0, 1.5
_NO_DATES = {
    "svg": {"Date": None, "Creator": None},
    "png": {"Software": None},
    "pdf": {"CreationDate": None, "Creator": None, "Producer": None},
}
_MADE_BY = {"svg": "Creator", "png": "Software", "pdf": "Creator"}
_SAID_AS = {"svg": "Description", "png": "Description", "pdf": "Subject"}
_ONE_FONT = re.compile(r"'DejaVu Sans'(?!,)")
_TAG = re.compile(r"<[^>]*>")
_LONG_FRACTION = re.compile(r"(\.\d\d)\d+")
_ROOT = re.compile(r"<svg [^>]*>")
_OWN_STYLE = re.compile(r"\s*<defs>\s*<style[^>]*>.*?</style>\s*</defs>", re.DOTALL)
_METADATA = re.compile(r"\s*<metadata>.*?</metadata>", re.DOTALL)
_VIEW = re.compile(r'viewBox="[^"]*"')
_ID = re.compile(r' id="([^"]*)"')
_TARGET = re.compile(r'(?<=url\(#)[^)]*(?=\))|(?<=xlink:href="#)[^"]*(?=")')


def drawn(picture: Picture, form: str, ink: Ink = LIGHT) -> bytes:
    """The picture as a file of one of `FORMATS`, in the colours given."""
    with _manners(picture, ink):
        content = BytesIO()
        metadata = _NO_DATES[form]
        _figure(picture, ink).savefig(content, format=form, dpi=PNG_DOTS_PER_INCH, metadata=metadata)
    return content.getvalue()


def drawn_alone(picture: Picture, form: str, ink: Ink = LIGHT) -> bytes:
    """The picture as a file by itself: its title above it, its description among the words about the file."""
    told = {"Title": seen(picture.title), _SAID_AS[form]: seen(picture.description), _MADE_BY[form]: MAKER}
    with _manners(picture, ink):
        content = BytesIO()
        _titled_figure(picture, ink).savefig(
            content, format=form, dpi=PNG_DOTS_PER_INCH, metadata=_NO_DATES[form] | told
        )
    return _in_any_font(content.getvalue()) if form == "svg" else content.getvalue()


def _in_any_font(svg: bytes) -> bytes:
    """Where the font is not at hand, another without serifs, and as wide, takes its place."""
    return _ONE_FONT.sub("'DejaVu Sans', Verdana, sans-serif", svg.decode("utf-8")).encode("utf-8")


def inline_svg(picture: Picture) -> str:
    """The picture for a page: its colours are the page's own (`var(--first)`), its title and description inside it.

    No two elements of a page may have the same id, and matplotlib counts alike in every figure: ids that nothing
    points to are left out, the others begin with the picture's name. The rule of style that every figure brings
    along would hold for the whole page; the page's own style has it for pictures.
    """
    svg = drawn(picture, "svg").decode("utf-8")
    svg = svg[svg.index("<svg ") :].rstrip()
    svg = _OWN_STYLE.sub("", _METADATA.sub("", svg))
    svg = _with_own_ids(svg, picture.name)
    root = _ROOT.match(svg)
    assert root is not None
    view = _VIEW.search(root[0])
    assert view is not None
    svg = f"{_opening(picture, view[0])}{svg[root.end() :]}"
    return compact(_TAG.sub(lambda tag: _tidied(tag[0]), svg))


def _opening(picture: Picture, view: str) -> str:
    """The root element: it takes the width it is given, and says what is seen."""
    title, description = f"{picture.name}-title", f"{picture.name}-description"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {view} role="img" aria-labelledby="{title} {description}">\n'
        f' <title id="{title}">{escape(seen(picture.title))}</title>\n'
        f' <desc id="{description}">{escape(seen(picture.description))}</desc>'
    )


def _with_own_ids(svg: str, name: str) -> str:
    """Only ids that something points to, each beginning with the picture's name."""
    targets = dict.fromkeys(_TARGET.findall(svg))
    own = {target: f"{name}-{number}" for number, target in enumerate(targets, start=1)}
    svg = _ID.sub(lambda found: f' id="{own[found[1]]}"' if found[1] in own else "", svg)
    return _TARGET.sub(lambda found: own[found[0]], svg).replace("xlink:href", "href")


def _tidied(tag: str) -> str:
    """A tag with coordinates to a hundredth of a point, and the roles of the colours in place of the colours."""
    tag = _LONG_FRACTION.sub(r"\1", tag)
    for role, colour in LIGHT.roles().items():
        tag = tag.replace(colour, f"var(--{role})")
    return tag


def _figure(picture: Picture, ink: Ink) -> "Figure":
    from matplotlib.figure import Figure

    size = (picture.width_mm / MM_PER_INCH, picture.height_mm / MM_PER_INCH)
    figure = Figure(figsize=size, layout="constrained")
    picture.draw(figure, ink)
    return figure


def _titled_figure(picture: Picture, ink: Ink) -> "Figure":
    """The figure made higher by its title, which stands above what is drawn."""
    from matplotlib.figure import Figure

    letters = round(_TITLE_LETTERS * picture.width_mm / 120)
    title = label(picture.title, most=(_TITLE_LINES + 1) * letters)
    lines = wrap(title, letters, max_lines=_TITLE_LINES, placeholder=" …", break_on_hyphens=False)
    title_mm = _TITLE_LINE_MM * len(lines) + _EDGE_MM
    height_mm = picture.height_mm + title_mm
    whole = Figure(figsize=(picture.width_mm / MM_PER_INCH, height_mm / MM_PER_INCH), layout="constrained")
    whole.get_layout_engine().set(rect=(0, 0, 1, picture.height_mm / height_mm))  # type: ignore[call-arg, union-attr]
    picture.draw(whole, ink)
    whole.text(
        2 * _EDGE_MM / picture.width_mm,
        1 - _EDGE_MM / height_mm,
        "\n".join(lines),
        size=9.5,
        va="top",
        weight="bold",
    )
    return whole


@contextmanager
def _manners(picture: Picture, ink: Ink) -> Iterator[None]:
    """Everything is drawn in the ink's colours; text is text, a dollar sign in a name a dollar sign.

    A sign that the font lacks is the reader's font's to show: no word of it on standard error.
    """
    logging.getLogger("matplotlib").setLevel(logging.ERROR)
    import matplotlib

    settings: dict[Any, object] = {
        "svg.fonttype": "none",
        "svg.hashsalt": picture.name,
        "pdf.fonttype": 42,
        "text.parse_math": False,
        "font.family": ["DejaVu Sans"],
        "font.size": 9,
        "axes.titlesize": 9,
        "axes.unicode_minus": True,
        "axes.spines.top": False,
        "axes.spines.right": False,
        "axes.grid": True,
        "axes.axisbelow": True,
        "grid.linewidth": 0.6,
        "legend.frameon": False,
        "legend.fontsize": 8,
        "figure.facecolor": ink.paper,
        "savefig.facecolor": ink.paper,
        "axes.facecolor": ink.paper,
        "text.color": ink.ink,
        "axes.labelcolor": ink.ink,
        "axes.edgecolor": ink.soft,
        "xtick.color": ink.soft,
        "ytick.color": ink.soft,
        "grid.color": ink.grid,
    }
    with matplotlib.rc_context(settings), warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph .* missing from", category=UserWarning)
        yield
