"""Rich's console in each look."""

import re

import pytest
from rich.console import Console
from rich.default_styles import DEFAULT_STYLES

from obslog.cli.look.consoles import console_on
from obslog.cli.look.look import Depth, Look
from tests.cli.program import Terminal

# A red of sixteen is "31", never bold ("1"): that is bright on many terminals.
RED = {
    Depth.SIXTEEN: {"31", "7"},
    Depth.MANY: {"38;5;124", "1", "7"},
    Depth.TRUE: {"38;2;160;0;0", "1", "7"},
}


def codes(console: Console, style: str) -> set[str]:
    with console.capture() as caught:
        console.print("x", style=style, end="")
    told = ";".join(re.findall(r"\x1b\[([0-9;]*)m", caught.get()))
    return set(re.findall(r"38;2;\d+;\d+;\d+|38;5;\d+|\d+", told)) - {"0"}


@pytest.mark.parametrize("depth", RED)
def test_every_style_that_rich_has_is_the_dim_red(depth: Depth) -> None:
    console = console_on(Terminal(), Look(red=True, depth=depth))
    seen = set().union(*(codes(console, style) for style in DEFAULT_STYLES))
    assert seen - RED[depth] == set()
    assert seen - {"1", "7"}


def test_of_no_colours_nothing_is_left_of_any_style() -> None:
    for look in (Look(depth=Depth.NONE), Look(plain=True), Look(red=True, depth=Depth.NONE)):
        console = console_on(Terminal(), look)
        assert [style for style in DEFAULT_STYLES if codes(console, style)] == []


@pytest.mark.parametrize("columns", [40, 132])
def test_a_terminal_of_lines_has_the_width_that_it_is_said_to_have(
    monkeypatch: pytest.MonkeyPatch, columns: int
) -> None:
    # Left to itself Rich takes any terminal of this kind for one of 80 columns.
    monkeypatch.setenv("TERM", "dumb")
    monkeypatch.setenv("COLUMNS", str(columns))
    assert console_on(Terminal(), Look(depth=Depth.NONE)).width == columns
