"""The prompt at a terminal that can only show lines one below the other: no escape codes, no completion."""

from obslog.cli.prompt.conversation import Conversation
from obslog.cli.terminal.state import State


def converse(talk: Conversation, state: State) -> None:
    """Hear lines until quit or the end of the input; Ctrl-C drops the line being typed."""
    while True:
        try:
            typed = state.screen.answer(talk.prompt)
        except KeyboardInterrupt:
            talk.drop()
            state.screen.note("")
            continue
        except EOFError:
            state.screen.note("")
            return
        if not talk.hear(typed, state.now()):
            return
