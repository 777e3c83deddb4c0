"""Text for a terminal whose units stay with their words: neither `78 %` nor `half within '` is broken before its sign.

Rich breaks lines at every kind of space, the no-break one too. So while it breaks them another sign holds the place,
one that no shown text has. Rich is imported at the top: only what has begun to write to a terminal imports this module.
"""

import re
from typing import Any

from rich.console import Console
from rich.containers import Lines
from rich.text import Text

_HELD = "\ue000"  # for private use, and so not printable: `screen.shown` lets none through
_BEFORE_UNIT = re.compile(r"(?<=\d) (?=%)| (?=['°%]$)")  # behind a number, or at the end of a heading


class Unbroken(Text):
    """Text that Rich may fold, each percentage being one word, and a unit at its end one with the word before."""

    def __init__(self, text: str) -> None:
        super().__init__(_BEFORE_UNIT.sub(_HELD, text))

    def wrap(self, console: Console, width: int, *given: Any, **options: Any) -> Lines:
        lines = super().wrap(console, width, *given, **options)
        for line in lines:
            line.plain = line.plain.replace(_HELD, " ")
        return lines
