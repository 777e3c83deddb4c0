"""How the line editor draws on a terminal, and in which colours.

In the red theme every sign that it draws, whatever part of it draws it, passes through one transformation, so that
nothing can reach the terminal in another colour.
"""

import sys
from typing import IO, Any, TextIO, cast

from prompt_toolkit.output.base import Output
from prompt_toolkit.output.color_depth import ColorDepth
from prompt_toolkit.output.defaults import create_output
from prompt_toolkit.shortcuts.prompt import PromptSession
from prompt_toolkit.styles import Attrs, Style, StyleTransformation
from prompt_toolkit.utils import get_term_environment_variable

from obslog.cli.look.look import RED_HEX, Depth, Look
from obslog.cli.terminal.screen import Screen

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


DEPTHS = {
    Depth.NONE: ColorDepth.DEPTH_1_BIT,
    Depth.SIXTEEN: ColorDepth.DEPTH_4_BIT,
    Depth.MANY: ColorDepth.DEPTH_8_BIT,
    Depth.TRUE: ColorDepth.DEPTH_24_BIT,
}


class OneColour(StyleTransformation):
    """Whatever is drawn is drawn in one colour on the terminal's own ground; "" is the terminal's own too.

    The red of 16 is bright in bold letters, and a terminal of 16 colours may draw other styles as colours of their own.
    """

    def __init__(self, colour: str, *, bold: bool) -> None:
        self._colour, self._bold = colour, bold

    def transform_attrs(self, attrs: Attrs) -> Attrs:
        if not self._colour:
            return attrs._replace(color="", bgcolor="")
        return Attrs(
            color=self._colour,
            bgcolor="",
            bold=bool(attrs.bold and self._bold),
            underline=False,
            strike=False,
            italic=False,
            blink=False,
            reverse=attrs.reverse,
            hidden=attrs.hidden,
            dim=False,
        )


def _colour(look: Look) -> str:
    if not look.is_red:
        return ""
    return "ansired" if look.depth is Depth.SIXTEEN else RED_HEX.removeprefix("#")


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


def session_on(stream: IO[str], screen: Screen, **more: Any) -> "PromptSession[str]":
    """A session of the line editor that draws on a terminal in the screen's look; what it completes waits for Tab."""
    look = screen.look
    return PromptSession(
        complete_while_typing=False,
        style=STYLE,
        style_transformation=OneColour(_colour(look), bold=look.bold),
        color_depth=DEPTHS[look.depth],
        include_default_pygments_style=False,
        reserve_space_for_menu=MENU_LINES,
        enable_suspend=True,
        output=_output(cast(TextIO, stream)),
        **more,
    )
