"""A picture as a file and inside a page: the same bytes, text that stays text, colours by their roles."""

import re
import subprocess
import sys
from typing import TYPE_CHECKING
from xml.etree import ElementTree

import pytest

from obslog.report.pictures.drawing import FORMATS, drawn, inline_svg
from obslog.report.pictures.ink import DARK, LIGHT, RED, Ink
from obslog.report.pictures.picture import Picture

if TYPE_CHECKING:
    from matplotlib.figure import Figure

HOSTILE = '<script>alert(1)</script> $x^2$ & "Sons" \U0001f52d'
SVG = "{http://www.w3.org/2000/svg}"


def picture_of(name: str = "dots", title: str = "Two dots", text: str = "a dot") -> Picture:
    def draw(figure: "Figure", ink: Ink) -> None:
        axes = figure.add_subplot()
        axes.plot([0, 1], [0.123456789, 1], marker="o", color=ink.first)
        axes.text(0.5, 0.5, text, color=ink.warning)

    return Picture(name=name, title=title, description="A line.", columns=("x",), rows=(("0",),), draw=draw)


def texts(svg: str) -> list[str]:
    return [element.text or "" for element in ElementTree.fromstring(svg).iter(f"{SVG}text")]


@pytest.mark.parametrize("form", FORMATS)
def test_the_same_picture_gives_the_same_bytes(form: str) -> None:
    assert drawn(picture_of(), form) == drawn(picture_of(), form)


@pytest.mark.parametrize(("form", "signature"), [("svg", b"<?xml"), ("png", b"\x89PNG"), ("pdf", b"%PDF")])
def test_a_file_begins_as_its_kind_does(form: str, signature: bytes) -> None:
    assert drawn(picture_of(), form).startswith(signature)


@pytest.mark.parametrize("ink", [LIGHT, DARK, RED])
def test_a_file_holds_no_colour_but_its_styles(ink: Ink) -> None:
    colours = set(re.findall(r"#[0-9a-f]{6}\b", drawn(picture_of(), "svg", ink).decode()))
    assert ink.first in colours
    assert colours <= set(ink.roles().values())


def test_inside_a_page_a_picture_has_no_colour_of_its_own() -> None:
    svg = inline_svg(picture_of())
    assert "var(--first)" in svg
    assert not re.findall(r"#[0-9a-f]{6}\b", svg)


def test_text_stays_text_whatever_a_name_holds() -> None:
    assert HOSTILE in texts(inline_svg(picture_of(text=HOSTILE)))


def test_title_and_description_are_said_to_those_who_do_not_see_it() -> None:
    root = ElementTree.fromstring(inline_svg(picture_of(title=HOSTILE)))
    said = {
        element.get("id"): element.text for element in root if element.tag in (f"{SVG}title", f"{SVG}desc")
    }
    assert [said[key] for key in (root.get("aria-labelledby") or "").split()] == [HOSTILE, "A line."]


def test_two_pictures_of_a_page_share_no_id_and_each_points_to_its_own() -> None:
    one, other = (inline_svg(picture_of(name)) for name in ("one", "other"))
    ids = [re.findall(r' id="([^"]*)"', svg) for svg in (one, other)]
    assert not set(ids[0]) & set(ids[1])
    for svg, own in zip((one, other), ids, strict=True):
        assert len(own) == len(set(own))
        targets = re.findall(r'href="#([^"]*)"', svg) + re.findall(r"url\(#([^)]*)\)", svg)
        assert set(targets) <= set(own)


def test_nothing_is_fetched_and_no_style_reaches_beyond_the_picture() -> None:
    svg = inline_svg(picture_of())
    assert "<style" not in svg
    assert re.findall(r"https?://[^\"']*", svg) == ["http://www.w3.org/2000/svg"]


def test_coordinates_are_no_finer_than_a_hundredth_of_a_point() -> None:
    svg = inline_svg(picture_of(text="1.23456"))
    assert "1.23456" in texts(svg)
    assert not [tag for tag in re.findall(r"<[^>]*>", svg) if re.search(r"\.\d{3}", tag)]


def test_drawing_leaves_pyplot_alone() -> None:
    """Pyplot looks for a screen and keeps every figure."""
    code = (
        "import sys\n"
        "from tests.report.pictures.test_drawing import drawn, picture_of\n"
        "drawn(picture_of(), 'png')\n"
        "assert 'matplotlib.pyplot' not in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
