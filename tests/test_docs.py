"""The docs are run: every command shown in README and docs works, and the command reference is current.

A block fenced as `console` holds lines that begin with `$ `, run in order and all of a file in one new folder; what
else stands in it is output. In a block fenced as `console fails` every command has to fail.
"""

import importlib.util
import re
import shlex
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from types import ModuleType

import pytest

from obslog.cli.main import main

ROOT = Path(__file__).resolve().parents[1]
PAGES = [ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md"))]
READ_AT = datetime(2026, 11, 25, 20, 0, tzinfo=UTC)
FENCE = re.compile(r"^```(?P<info>console[^\n]*)\n(?P<body>.*?)^```", re.MULTILINE | re.DOTALL)
SETTING_UP = re.compile(r"python3? -m venv|(\S*/)?pip install")
EXPORT = re.compile(r"export (?P<name>\w+)=(?P<value>.*)")


@dataclass(frozen=True)
class Shown:
    """A command as a page shows it."""

    line: str
    fails: bool


def shown_commands(page: str) -> Iterator[Shown]:
    for block in FENCE.finditer(page):
        joined = block["body"].replace("\\\n", " ")
        for line in joined.splitlines():
            if line.startswith("$ ") and not SETTING_UP.match(line[2:]):
                yield Shown(line[2:], block["info"].strip() == "console fails")


def run(command: Shown, environment: dict[str, str]) -> int:
    """The exit code of a command line: the program in this process, anything else in a shell."""
    if setting := EXPORT.match(command.line):
        environment[setting["name"]] = shlex.split(setting["value"])[0]
        return 0
    words = shlex.split(command.line)
    if words[0] == "obslog":
        return main(words[1:], lambda: READ_AT, environment)
    return subprocess.run(["sh", "-c", command.line], check=False, timeout=30).returncode


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_command_shown_works(
    page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    for name in ("HOME", "XDG_DATA_HOME", "LOCALAPPDATA"):
        monkeypatch.setenv(name, str(tmp_path / "home"))
    environment: dict[str, str] = {}
    for command in shown_commands(page.read_text(encoding="utf-8")):
        code = run(command, environment)
        said = capsys.readouterr().err
        assert (code != 0) is command.fails, f"{command.line}\nended with {code}: {said}"


def test_the_pages_that_show_commands_are_run() -> None:
    shown = {page.name: len(list(shown_commands(page.read_text(encoding="utf-8")))) for page in PAGES}
    assert shown["README.md"] > 5
    assert shown["first-night.md"] > 20


def test_a_command_that_a_page_should_not_show_would_be_noticed() -> None:
    page = "```console\n$ obslog nihgt list\nno such\n```\n```console fails\n$ obslog --version\n```\n"
    wrong, right = shown_commands(page)
    assert (wrong.fails, run(wrong, {})) == (False, 2)
    assert (right.fails, run(right, {})) == (True, 0)


def test_the_command_reference_is_current() -> None:
    making = _making()
    page = ROOT / "docs" / "commands.md"
    assert page.read_text(encoding="utf-8") == making.reference(), "run: python docs/make_commands.py"


def test_the_page_of_words_is_current() -> None:
    page = ROOT / "docs" / "glossary.md"
    assert page.read_text(encoding="utf-8") == _making().glossary(), "run: python docs/make_commands.py"


def _making() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_commands", ROOT / "docs" / "make_commands.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
