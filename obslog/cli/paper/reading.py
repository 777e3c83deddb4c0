"""Where the answers of a typed-up night come from: somebody at a terminal, or lines through a pipe."""

import sys
from dataclasses import dataclass

from obslog.cli.paper.dialogue import Question, Reader
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State


def reader_for(state: State) -> Reader:
    """A person where standard input is a terminal, else its lines."""
    return Keyboard(state.screen) if sys.stdin.isatty() else Lines()


@dataclass(slots=True)
class Lines:
    """Standard input, a line an answer."""

    interactive: bool = False

    def read(self, question: Question, begun: str = "") -> str:
        line = sys.stdin.readline()
        if not line:
            raise EOFError
        return line


@dataclass(slots=True)
class Keyboard:
    """Somebody who is asked."""

    screen: Screen
    interactive: bool = True

    def read(self, question: Question, begun: str = "") -> str:
        return self.screen.answer(question.words)
