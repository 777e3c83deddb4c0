"""Text for a terminal whose units stay with their words: neither `78 %` nor `half within '` is broken before its sign.

Nor is a command at its end, behind a colon: it stands on a line of its own, from which it can be copied.

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
_COMMAND_AT_END = re.compile(r"(?<=: )obslog [^:;]+$")


class Unbroken(Text):
    """Text that Rich may fold: each percentage is one word, a unit at its end one with the word before, and a command.

    A command that is longer than a line is folded like any text.
    """

    def __init__(self, text: str) -> None:
        super().__init__(_BEFORE_UNIT.sub(_HELD, text))

    def wrap(self, console: Console, width: int, *given: Any, **options: Any) -> Lines:
        command = _COMMAND_AT_END.search(self.plain)
        if command is not None and len(command[0]) <= width:
            self.plain = self.plain[: command.start()] + command[0].replace(" ", _HELD)
        lines = super().wrap(console, width, *given, **options)
        for line in lines:
            line.plain = line.plain.replace(_HELD, " ")
        return lines
