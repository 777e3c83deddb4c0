"""Rich's console for a stream: with the colours of the look, and the width of the terminal.

Rich would look for colours and width itself, and finds none of either on a terminal that shows lines only.
"""

import os
import sys
from typing import IO, TYPE_CHECKING, Any

from obslog.cli.look.look import RED_IN, Depth, Look, shows_lines_only

if TYPE_CHECKING:
    from rich.console import Console

_SYSTEMS: dict[Depth, Any] = {
    Depth.NONE: None,
    Depth.SIXTEEN: "standard",
    Depth.MANY: "256",
    Depth.TRUE: "truecolor",
}


def console_on(file: IO[str], look: Look) -> "Console":
    """A console; in the red look every style that Rich has is turned to the one dim red."""
    from rich.console import Console

    given: dict[str, Any] = {"file": file, "highlight": False, "force_terminal": True, "no_color": False}
    given["color_system"] = _SYSTEMS[look.depth] if look.bold or look.is_red else None
    if shows_lines_only(os.environ, sys.platform):
        import shutil

        given["width"], given["height"] = shutil.get_terminal_size()
    if not look.is_red:
        return Console(**given)
    from rich.default_styles import DEFAULT_STYLES
    from rich.style import Style
    from rich.theme import Theme

    red = RED_IN[look.depth]
    dimmed = {
        name: Style(color=red, bold=style.bold if look.bold else None, reverse=style.reverse)
        for name, style in DEFAULT_STYLES.items()
    }
    return Console(**given, style=red, theme=Theme(dimmed, inherit=False))
