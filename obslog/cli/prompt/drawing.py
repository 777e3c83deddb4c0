"""How the line editor draws on a terminal, and in which colours.

In the red theme every sign that it draws, whatever part of it draws it, passes through one transformation, so that
nothing can reach the terminal in another colour.
"""

import sys
from collections.abc import Mapping
from typing import Any, TextIO

from prompt_toolkit.output.base import Output
from prompt_toolkit.output.color_depth import ColorDepth
from prompt_toolkit.output.defaults import create_output
from prompt_toolkit.shortcuts.prompt import PromptSession
from prompt_toolkit.styles import Attrs, Style, StyleTransformation
from prompt_toolkit.utils import get_term_environment_variable

from obslog.cli.terminal.screen import DIM_RED, Screen

MENU_LINES = 5
STYLE = Style.from_dict(
    {
        "bottom-toolbar": "noreverse",
        "completion-menu": "bg:default fg:default",
        "completion-menu.completion": "bg:default fg:default",
        "completion-menu.completion.current": "bg:default fg:default reverse",
        "scrollbar.background": "bg:default",
        "scrollbar.button": "bg:default reverse",
    }
)


class OneColour(StyleTransformation):
    """Whatever is drawn is drawn in one colour on the terminal's own ground; None is the terminal's own too."""

    def __init__(self, colour: str) -> None:
        self._colour = colour

    def transform_attrs(self, attrs: Attrs) -> Attrs:
        return attrs._replace(color=self._colour, bgcolor="")


def _colours(screen: Screen, environment: Mapping[str, str]) -> ColorDepth | None:
    """How many colours the terminal has, where that is known or none is wanted; as Rich takes it."""
    if not screen.styles:
        return ColorDepth.DEPTH_1_BIT
    return ColorDepth.DEPTH_24_BIT if environment.get("COLORTERM", "") in ("truecolor", "24bit") else None


def _output(stream: TextIO) -> Output:
    """A terminal as the line editor writes to it; it asks no terminal where the cursor stands.

    Terminals answer that, or do not, among the keys that are typed; and where none answers, a complaint is printed. One
    line below the cursor is all that has to be there: more is made where it is wanted.
    """
    if sys.platform == "win32":
        return create_output(stream)
    from prompt_toolkit.output.vt100 import Vt100_Output

    class Unasked(Vt100_Output):
        def get_rows_below_cursor_position(self) -> int:
            return 1

    return Unasked.from_pty(
        stream, term=get_term_environment_variable(), default_color_depth=ColorDepth.from_env()
    )


def session_on(
    stream: TextIO, screen: Screen, environment: Mapping[str, str], **more: Any
) -> "PromptSession[str]":
    """A session of the line editor that draws on a terminal in the screen's theme; what it completes waits for Tab."""
    return PromptSession(
        complete_while_typing=False,
        style=STYLE,
        style_transformation=OneColour(DIM_RED.removeprefix("#") if screen.red else ""),
        color_depth=_colours(screen, environment),
        include_default_pygments_style=False,
        reserve_space_for_menu=MENU_LINES,
        enable_suspend=True,
        output=_output(stream),
        **more,
    )
