"""Every command that docs/observing.md shows is run, in its order, and succeeds."""

import re
import shlex
from pathlib import Path

import pytest

from obslog.cli.main import main

from .conftest import EVENING

PAGE = Path(__file__).resolve().parents[2] / "docs" / "observing.md"


def shown_commands() -> list[list[str]]:
    blocks = re.findall(r"```console\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL)
    return [shlex.split(line.removeprefix("$ obslog ")) for block in blocks for line in block.splitlines()]


def test_the_page_runs(sqlite_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    commands = shown_commands()
    assert len(commands) > 15
    later = EVENING.replace(day=3, hour=9)
    for words in commands:
        code = main(words, lambda: later, {"OBSLOG_DB": str(sqlite_path)})
        assert (code, words) == (0, words), capsys.readouterr().err
