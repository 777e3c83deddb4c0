"""A story typed into the program: each answer held to its schema, and what was null in it. Typed once for all tests."""

import io
import re
import shlex
import sys
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from tests.cli.answers.held import command_of
from tests.cli.answers.little_known import FILES
from tests.cli.answers.nulls import Field, nulls_in
from tests.cli.program import Program

_TOLD: dict[tuple[str, ...], "Told"] = {}
_ENDINGS = {
    "sheets": "",
    "pages": "",
    "mails": "",
    "demo": ".db",
    "moved": ".db",
    "backup": ".db",
    "log": ".xml",
    "routine": ".toml",
    "photo": "",
    "items": ".csv",
    **{Path(name).stem: Path(name).suffix for name in FILES},
}


@dataclass
class Told:
    """Of which commands there were answers, which lines failed, and which keys were null."""

    commands: set[str | None] = field(default_factory=set)
    failed: list[str] = field(default_factory=list)
    nulls: set[Field] = field(default_factory=set)


def told_once(program: Program, folder: Path, story: Sequence[str]) -> Told:
    """What comes of a story; the same again where it was told before. It begins on the same database each time."""
    known = tuple(story)
    if known not in _TOLD:
        now, environment = program.now, dict(program.environment)
        _TOLD[known] = _tell(program, folder, story)
        program.now, program.environment = now, environment
    return _TOLD[known]


def _tell(program: Program, folder: Path, story: Sequence[str]) -> Told:
    (folder / "photo").write_bytes(b"a picture")
    for name, text in FILES.items():
        (folder / name).write_text(text)
    told, keyboard = Told(), sys.stdin
    sys.stdin = io.StringIO()  # what asks is answered by nobody
    try:
        for line in story:
            try:
                _type(program, folder, line, told)
            except AssertionError as error:
                told.failed.append(f"{line}: {error}")
    finally:
        sys.stdin = keyboard
    return told


def _type(program: Program, folder: Path, line: str, told: Told) -> None:
    """Type a line; `at` moves the clock, `use` goes to another database, `set` sets a variable of the environment."""
    words = [_as_typed(program, folder, word) for word in shlex.split(line)]
    if words[0] == "at":
        program.now = datetime.fromisoformat(words[1]).replace(tzinfo=UTC)
    elif words[0] == "use":
        program.environment["OBSLOG_DB"] = words[1]
    elif words[0] == "set":
        program.environment[words[1]] = words[2]
    else:
        document = program.document(*words)
        command = command_of(words)
        told.commands.add(command)
        told.nulls |= nulls_in(command or "", document)


def _as_typed(program: Program, folder: Path, word: str) -> str:
    """A word of a story; one that begins with @ is the newest snag or act, or a file of the test's own."""
    newest = {"@snag": ("snag", "list"), "@act": ("history",)}
    if word in newest:
        reference: str = program.document(*newest[word])[0]["reference"]
        return reference
    if not re.match(r"@\w", word):
        return word
    ending = _ENDINGS.get(word[1:], ".html" if word.startswith("@page") else ".pdf")
    return str(folder / f"{word[1:]}{ending}")
