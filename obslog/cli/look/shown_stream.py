"""One of the two streams on which people read: a terminal in the look that is asked for, or a pipe."""

from collections.abc import Iterable
from functools import cached_property
from typing import IO, TYPE_CHECKING

from obslog.cli.look.consoles import console_on
from obslog.cli.look.layout import wrapped
from obslog.cli.look.look import Look
from obslog.cli.look.plain_signs import plain_signs

if TYPE_CHECKING:
    from rich.console import Console


class ShownStream:
    """A stream with its look; `file` is where it goes now, for what goes to `own` may be held back."""

    def __init__(self, own: IO[str], look: Look, *, red_piped: bool) -> None:
        self.own = self.file = own
        self._look = look
        self.styled = own.isatty()
        self.plain = look.plain and (self.styled or look.plain_piped)
        self._red = self.styled or red_piped

    @cached_property
    def console(self) -> "Console":
        """Rich's console, which is loaded when a terminal is first written to."""
        return console_on(self.file, self._look)

    def say(self, text: str, style: str, indent: int, hang: int) -> None:
        """A line; on a terminal a longer one is wrapped to its width, what is wrapped `hang` further in."""
        said = self.in_signs(text)
        if self.styled:
            self.print(wrapped(self.console, said, indent, hang), style)
        else:
            self.file.write(self.tinted(" " * indent + said) + "\n")

    def print(self, lines: Iterable[str], style: str = "") -> None:
        """Lines that are laid out for this terminal."""
        from rich.text import Text

        used = style if self._look.bold else None
        for line in lines:
            self.console.print(Text(line), style=used or None, no_wrap=True, overflow="ignore", crop=False)

    def in_signs(self, text: str) -> str:
        """The text; in the plain look without signs that cannot be read aloud."""
        return plain_signs(text) if self.plain else text

    def tinted(self, text: str) -> str:
        """Text that goes past Rich, as it is, in the red look's one colour."""
        return self.tint(text) if self._red else text

    def tint(self, text: str) -> str:
        """The same wherever the stream goes."""
        start, end = self._look.red_signs if text else ("", "")
        return f"{start}{text}{end}"
