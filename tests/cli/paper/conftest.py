"""Pages typed up through a pipe, and at a terminal."""

import io

import pytest

from tests.cli.conftest import Run
from tests.cli.paper.typist import MORNING, Type, Typist
from tests.cli.program import Answer


@pytest.fixture
def type_up(run: Run, monkeypatch: pytest.MonkeyPatch) -> Type:
    """Types the lines into `night type-up` on the morning after."""

    def typed(*lines: str, words: tuple[str, ...] = ("--json",)) -> Answer:
        monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{line}\n" for line in lines)))
        return run("night", "type-up", *words, at=MORNING)

    return typed


@pytest.fixture
def at_keyboard(run: Run, monkeypatch: pytest.MonkeyPatch) -> Type:
    """Types the lines at a terminal, where a bad answer is asked again."""

    def typed(*lines: str) -> Answer:
        monkeypatch.setattr("obslog.cli.paper.reading.reader_for", lambda _state, _database: Typist(lines))
        return run("night", "type-up", "--json", at=MORNING)

    return typed
