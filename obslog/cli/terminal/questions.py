"""A question before something that is not lightly done, above all what cannot be undone."""

import sys

from obslog.cli.terminal.screen import Screen
from obslog.errors import ObslogError, WrongInput


class NobodyToAsk(WrongInput):
    def __init__(self, what: str) -> None:
        super().__init__(
            f"{what} cannot be undone, and nobody is here to confirm it.", "Confirm it with --yes."
        )


class NobodyToConfirm(WrongInput):
    def __init__(self, what: str) -> None:
        super().__init__(
            f"{what} is asked about first, and nobody is here to confirm it.", "Confirm it with --yes."
        )


class NotConfirmed(ObslogError):
    def __init__(self) -> None:
        super().__init__("Nothing was changed.", "To go ahead, answer yes, or give --yes.")


def ask_first(screen: Screen, what: str, question: str, *, can_be_undone: bool = False) -> None:
    """Go on only after a typed yes.

    Raises NobodyToAsk, or NobodyToConfirm for what can be undone, where no terminal is there to ask at; NotConfirmed.
    """
    if not sys.stdin.isatty():
        raise NobodyToConfirm(what) if can_be_undone else NobodyToAsk(what)
    if not says_yes(screen, question):
        raise NotConfirmed


def says_yes(screen: Screen, question: str) -> bool:
    """Whether yes is typed; anything else, and the end of what is typed, is no."""
    try:
        answer = screen.answer(f"{question} [yes/no] ")
    except EOFError:
        return False
    return answer.strip().casefold() in ("yes", "y")
