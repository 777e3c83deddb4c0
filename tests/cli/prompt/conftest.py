"""A terminal at hand, and lines that come from a file."""

import io
from collections.abc import Callable, Iterator, Sequence

import pytest

from tests.cli.program import Answer, Program
from tests.cli.prompt.terminals import AtTerminal


@pytest.fixture
def piped(in_club: Program, monkeypatch: pytest.MonkeyPatch) -> Callable[..., Answer]:
    """Gives lines to the prompt as a file would, in the small club."""

    def give(lines: Sequence[str], *options: str) -> Answer:
        monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{line}\n" for line in lines)))
        return in_club("prompt", *options)

    return give


@pytest.fixture
def terminal(in_club: Program) -> Iterator[Callable[..., AtTerminal]]:
    """Opens a prompt at a terminal, in the small club; it is closed after the test."""
    opened: list[AtTerminal] = []

    def start(*words: str, columns: int = 80, **environment: str) -> AtTerminal:
        database = in_club.environment["OBSLOG_DB"]
        opened.append(AtTerminal(database, *words, columns=columns, **environment))
        return opened[-1]

    yield start
    for one in opened:
        one.close()
