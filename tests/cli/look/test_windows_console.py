"""A console of Windows is asked to obey signs; where it does not, none are written to it."""

import io

import pytest

from obslog.cli import main as entry
from obslog.cli.look.windows_console import OBEY_SIGNS, obeys_signs
from tests.cli.program import Program, Terminal


class At(Terminal):
    """A terminal that is open under a number."""

    def __init__(self, number: int) -> None:
        super().__init__()
        self.number = number

    def fileno(self) -> int:
        return self.number


class Consoles:
    """Consoles as the calls of Windows answer for them: by the number of the file its mode, and whether it is old."""

    def __init__(self, modes: dict[int, int], *, old: bool = False) -> None:
        self.modes, self.old = modes, old

    def mode(self, file: int) -> int | None:
        return self.modes.get(file)

    def set_mode(self, file: int, mode: int) -> bool:
        if not self.old:
            self.modes[file] = mode
        return not self.old


def test_each_console_is_asked_and_keeps_the_rest_of_its_mode() -> None:
    consoles = Consoles({1: 0x0003, 2: 0x0007})
    assert obeys_signs([At(1), At(2)], consoles)
    assert consoles.modes == {1: 0x0003 | OBEY_SIGNS, 2: 0x0007}


def test_an_old_console_obeys_none_and_what_is_no_console_is_not_asked() -> None:
    assert not obeys_signs([At(1)], Consoles({1: 0x0003}, old=True))
    assert not obeys_signs([At(1), At(2)], Consoles({1: 0x0007, 2: 0x0003}, old=True))
    assert obeys_signs([At(5), io.StringIO(), Terminal()], Consoles({}, old=True))
    assert obeys_signs([At(1)]), "elsewhere every terminal does"


@pytest.mark.parametrize("words", [("mount", "list"), ("mount", "list", "--red"), ("mount", "shw", "--red")])
def test_nothing_but_letters_goes_to_a_terminal_that_obeys_no_signs(
    in_club: Program, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...]
) -> None:
    monkeypatch.setenv("TERM", "xterm-256color")
    shown = {}
    for obeys in (True, False):
        monkeypatch.setattr(entry, "obeys_signs", lambda _streams, obeys=obeys: obeys)
        in_club.terminal = Terminal()
        in_club(*words)
        shown[obeys] = in_club.terminal.getvalue()
    assert "\x1b" in shown[True]
    assert "\x1b" not in shown[False]
    assert shown[False].strip()
