"""The output of a command held back until it is whole, so that one longer than the screen can go through the pager.

What is written to standard error once an answer has begun waits with it, so that both stay in their order. What comes
before that is seen at once: that a database is being upgraded, for one.
"""

import re
from collections.abc import Callable
from typing import IO, Any

Page = Callable[[str], str | None]
"""Shows a text in the pager. Where it gives a text, nothing was shown: why, if that is to be said behind it."""
_STEERING = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]")


class Held:
    """What was written and not sent on yet; `size` tells the columns and lines of the terminal."""

    def __init__(self, out: IO[str], err: IO[str], size: Callable[[], tuple[int, int]], page: Page) -> None:
        self._size, self._page = size, page
        self._begun = self._stopped = False
        self._pieces: list[tuple[IO[str], str]] = []
        self.out: Any = HeldStream(out, self, first=True)
        self.err: Any = HeldStream(err, self, first=False) if err.isatty() else err

    def stop(self) -> None:
        """Hold nothing from now on."""
        self._stopped = True

    @property
    def is_empty(self) -> bool:
        return not self._pieces

    def take(self, stream: IO[str], text: str, *, first: bool) -> None:
        """Hold the text; where no answer has begun only one that may be `first` is, any other is written."""
        if not self._stopped and (first or self._pieces or self._begun):
            self._pieces.append((stream, text))
        else:
            stream.write(text)

    def begin(self) -> None:
        """An answer begins: what is said before its first line is held with it, or its page would push it away."""
        self._begun = True

    def release(self, *, paged: bool = True) -> str:
        """Send all on: through the pager where it is longer than the screen, and `paged` lets it.

        Gives what is to be said behind it.
        """
        pieces, self._pieces, self._begun = self._pieces, [], False
        text = "".join(text for _, text in pieces)
        failed = self._page(text) if paged and self._is_long(text) else ""
        if failed is None:
            return ""
        for stream, piece in pieces:
            stream.write(piece)
            stream.flush()
        return failed

    def _is_long(self, text: str) -> bool:
        """Whether the text, and below it the line of the shell, need more lines than there are."""
        columns, lines = self._size()
        if len(text) < columns and text.count("\n") < lines:
            return False
        return rows_of(text, columns) >= lines


class HeldStream:
    """A stream that is held; all but writing to it goes to the stream itself."""

    def __init__(self, stream: IO[str], held: Held, *, first: bool) -> None:
        self._stream, self._held, self._first = stream, held, first

    def write(self, text: str) -> int:
        self._held.take(self._stream, text, first=self._first)
        return len(text)

    def flush(self) -> None:
        """Send on what was written past it; what is held stays held."""
        if self._held.is_empty:
            self._stream.flush()

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


def rows_of(text: str, columns: int) -> int:
    """How many lines of a terminal a text takes; what is too long for one is carried on by the terminal."""
    lines = _STEERING.sub("", text).removesuffix("\n").split("\n")
    return sum(max(1, -(-len(line) // max(columns, 1))) for line in lines)


class Stray:
    """Stands where a library looks for a stream, and hands on what it writes; all else goes to the stream itself."""

    def __init__(self, stream: IO[str], heard: Callable[[str], None]) -> None:
        self._stream, self._heard = stream, heard

    def write(self, text: str) -> int:
        self._heard(text)
        return len(text)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


class Quarters:
    """How far some work is, said in a line at each quarter of it: for a look without bars."""

    def __init__(self, say: Callable[[str], None], what: str, total: int) -> None:
        self._say, self._what, self._total, self._done, self._said = say, what, total, 0, 0
        say(f"{what}.")

    def advance(self, steps: int) -> None:
        self._done += steps
        quarter = 4 * self._done // max(self._total, 1)
        if quarter > self._said:
            self._said = quarter
            self._say(f"{self._what}: {25 * quarter} %.")
