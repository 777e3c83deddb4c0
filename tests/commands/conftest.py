"""A small club at hand, and a way to type a command line into it."""

from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.cli.program import Answer, Program

CLUB: list[Sequence[str]] = [
    ("site", "add", "Mill Field", "--lat", "52.2", "--lon", "0.12", "--tz", "Europe/London"),
    ("member", "add", "Ines"),
    ("member", "add", "Tomasz"),
    ("mount", "add", "Heron", "--type", "german", "--controller", "shift"),
    ("tube", "add", "Long tube", "--aperture-mm", "200", "--focal-mm", "1000"),
    ("eyepiece", "add", "Wide 25", "--focal-mm", "25", "--field-deg", "52", "--field-stop-mm", "21.2"),
]
EVENING = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)


Run = Callable[..., Answer]


@pytest.fixture
def run(sqlite_path: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """Types a command line on the evening of 2 March 2026, 21:40, or at another time."""

    program = Program(capsys, {"OBSLOG_DB": str(sqlite_path)}, EVENING)

    def typed(*words: str, at: datetime = EVENING) -> Answer:
        program.now = at
        return program(*words)

    for line in CLUB:
        assert typed(*line).code == 0
    return typed
