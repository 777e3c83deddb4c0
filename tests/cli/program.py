"""The program as a person at a keyboard meets it: what is typed, and what comes back."""

import io
import json
import os
from collections.abc import Callable
from contextlib import ExitStack, redirect_stderr, redirect_stdout
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any, TextIO

import pytest

from obslog.cli.main import main
from tests.cli.answers.held import hold


@dataclass(frozen=True)
class Answer:
    """What one command line gave."""

    code: int
    out: str
    err: str
    line: tuple[str, ...] = field(default=(), compare=False)

    @property
    def document(self) -> Any:
        """The one JSON document on standard output, held to its schema; fails where there is anything else."""

        def refuse(word: str) -> None:
            raise AssertionError(f"{word} is no JSON")

        document = json.loads(self.out, parse_constant=refuse)
        hold(self.line, document)
        return document

    @property
    def error_lines(self) -> list[str]:
        return self.err.splitlines()


_WRITTEN: dict[Callable[["Program"], None], bytes] = {}


def written_once(program: "Program", write: Callable[["Program"], None]) -> "Program":
    """The program with what `write` types in: typed the first time, and afterwards the file of that time again.

    What `write` starts from has to be the same each time, so each fixture has a function of its own.
    """
    path = Path(program.environment["OBSLOG_DB"])
    if write in _WRITTEN:
        path.write_bytes(_WRITTEN[write])
    else:
        write(program)
        _WRITTEN[write] = path.read_bytes()
    return program


class Terminal(io.StringIO):
    """Standard output or error that says it is a terminal."""

    def isatty(self) -> bool:
        return True


class Program:
    """Runs command lines in this process, with a clock that stands still until it is moved.

    Both streams are caught, as by a pipe; where `terminal` is set they go there.
    """

    def __init__(
        self, capture: pytest.CaptureFixture[str], environment: dict[str, str], now: datetime
    ) -> None:
        self._capture, self.environment, self.now = capture, environment, now
        self.terminal: TextIO | None = None

    def __call__(self, *words: str) -> Answer:
        self._capture.readouterr()
        with ExitStack() as streams:
            if self.terminal is not None:
                streams.enter_context(redirect_stdout(self.terminal))
                streams.enter_context(redirect_stderr(self.terminal))
            code = main(words, self._clock(), {**_terminal_here(), **self.environment})
        return Answer(code, *self._capture.readouterr(), words)

    def must(self, *words: str) -> Answer:
        """The answer to a command line that has to succeed."""
        answer = self(*words)
        assert answer.code == 0, answer.err
        return answer

    def document(self, *words: str) -> Any:
        """What --json gives; nothing but the document may be on standard output."""
        return self.must(*words, "--json").document

    def _clock(self) -> Callable[[], datetime]:
        return lambda: self.now


def _terminal_here() -> dict[str, str]:
    """What this process says of its terminal: the tests set it there, for libraries look for it there too."""
    return {name: os.environ[name] for name in ("TERM", "COLORTERM", "FORCE_COLOR") if name in os.environ}
