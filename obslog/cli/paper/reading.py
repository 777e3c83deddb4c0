"""Where the answers of a typed-up night come from: somebody at a terminal, or lines through a pipe."""

import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any

from obslog.cli.paper.dialogue import Question, Reader
from obslog.cli.terminal.state import State

if TYPE_CHECKING:
    from obslog.records.database import Database


def reader_for(state: State, database: "Database") -> Reader:
    """A person where standard input is a terminal, else its lines."""
    return Keyboard(state, database) if sys.stdin.isatty() else Lines()


@dataclass(slots=True)
class Lines:
    """Standard input, a line an answer."""

    interactive: bool = False

    def read(self, question: Question, begun: str = "") -> str:
        line = sys.stdin.readline()
        if not line:
            raise EOFError
        return line


@dataclass
class Keyboard:
    """Somebody who is asked: the line can be edited, and Tab completes it. Questions never mix with piped output."""

    state: State
    database: "Database"
    interactive: bool = True
    asked: Question | None = field(default=None, init=False)

    def read(self, question: Question, begun: str = "") -> str:
        if self._is_plain:
            return self.state.screen.answer(question.words)
        self.asked = question
        self.state.screen.hold_no_more()
        answer: str = self._session.prompt(question.words, default=begun)
        return answer

    @property
    def _is_plain(self) -> bool:
        """A terminal that knows no escape codes, or where nobody sees standard error; and the plain look."""
        if self.state.screen.look.plain:
            return True
        return self.state.environment.get("TERM", "") in ("", "dumb") or not sys.stderr.isatty()

    @cached_property
    def _session(self) -> Any:
        from prompt_toolkit.completion import Completer, Completion

        from obslog.cli.prompt.drawing import session_on

        keyboard = self

        class Offers(Completer):
            def get_completions(self, document: Any, complete_event: Any) -> Iterator[Completion]:
                for text, signs in keyboard.offered(document.text_before_cursor):
                    if text.isprintable():
                        yield Completion(text, start_position=-signs)

        screen = self.state.screen
        return session_on(screen.terminal[1], screen, completer=Offers())

    def offered(self, begun: str) -> list[tuple[str, int]]:
        """What the answer to the question that was asked may become, each with how many signs it takes the place of."""
        from obslog.club.paper.offered import offered_for

        return offered_for(self.database, self.asked.kind if self.asked else None, begun)
