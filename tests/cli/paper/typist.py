"""A page as it is typed up, and who types it at a keyboard."""

from collections.abc import Callable
from datetime import UTC, datetime

from obslog.cli.paper.dialogue import Question
from tests.cli.program import Answer

MORNING = datetime(2026, 3, 3, 9, 30, tzinfo=UTC)
PAGE = [
    "Mill Field", "2026-03-02", "Ines, Bram Ostler", "antoniadi 2, sky-meter 20.9", "thin cloud",
    "Heron", "Long tube", "Wide 25", "Ines", "20:10",
]  # fmt: skip
LINES = [
    "20:31 sync Regulus 12E 9S",
    "20:40 check Procyon 3W 2N",
    "21:05 saw M 81; oval glow",
    "00:20 not-seen M 101; haze",
]
Type = Callable[..., Answer]


class Typist:
    """Somebody at a keyboard who types these lines, and then Ctrl-D."""

    interactive = True

    def __init__(self, lines: tuple[str, ...]) -> None:
        self._lines = list(lines)

    def read(self, question: Question, begun: str = "") -> str:
        if not self._lines:
            raise EOFError
        return self._lines.pop(0)
