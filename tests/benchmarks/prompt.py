"""How soon the prompt can be typed at, and how long a line takes from Enter to its answer, however old the club is."""

import io
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pexpect

from obslog.cli.prompt.conversation import Conversation
from obslog.cli.prompt.warming import load_names
from obslog.cli.terminal.screen import Screen
from obslog.club.evening.asked import PromptSettings
from obslog.club.evening.said_at_once import TELLING
from obslog.club.evening.standing import standing
from obslog.club.evening.verbs import VERBS
from obslog.grammar.lines import UnknownVerb, read_line
from obslog.records.opening import open_database
from tests.benchmarks.big_club import Size, make_club
from tests.benchmarks.measuring import Report
from tests.benchmarks.startup import environment_of, seconds_of

RUNS = 6
LAST_NIGHT = date(2026, 3, 2)
NOW = datetime(2026, 3, 30, 20, 0, tzinfo=UTC)
BEGUN = ("night start owlpenny with maud", "setup start bramble, patched eight, workaday, maud")
LINES = (
    "sy regulus 3E2N pw", "ch procyon 1W 4N", "ch castor 0.1f E", "g m81 edge", "g m44 in", "g m67 2E 1S",
    "sa m81; oval glow, brighter middle", "sa m44", "not-seen m109", "edit 2 1W 3N", "edit in", "u",
    "ti power 12.6 12.1", "sky sqm 20.9", "sky ant 2", "note dew by midnight", "sn key summer time was on",
    "pier west", "flip", "list", "eye workaday", "help sync", "nonsense",
)  # fmt: skip
ROUNDS = 5


def main(report: Report) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        demo = environment_of(folder, "demo.db")
        made = [sys.executable, "-m", "obslog", "demo", "--into", demo["OBSLOG_DB"]]
        subprocess.run(made, env=demo, check=True, capture_output=True)
        _start(report, demo)
        _lines(report, "in the demo club", Path(demo["OBSLOG_DB"]))
        _lines(report, "in a club of twenty years", _twenty_years(folder))


def _start(report: Report, environment: dict[str, str]) -> None:
    """Processor time until the prompt can be typed at, and of the bare import, in turn."""
    bare = [sys.executable, "-c", "import sqlalchemy.orm"]
    pairs = [(_until_it_asks(environment), seconds_of(bare, environment)) for _ in range(RUNS)]
    mine, theirs = (min(times) for times in zip(*pairs[1:], strict=True))
    report.add("obslog prompt, until one can type", "`import sqlalchemy.orm`", mine / theirs, at_most=2.2)


def _until_it_asks(environment: dict[str, str]) -> float:
    child = pexpect.spawn(
        sys.executable,
        ["-m", "obslog", "prompt"],
        env={**environment, "TERM": "xterm-256color"},
        dimensions=(24, 80),
        encoding="utf-8",
    )
    child.expect("no night open")
    fields = Path(f"/proc/{child.pid}/stat").read_text().rpartition(")")[2].split()
    child.send("\x04")
    child.expect(pexpect.EOF)
    child.close()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def _lines(report: Report, where: str, path: Path) -> None:
    """Lines one after the other in one process, as at the prompt; each changes what it changes."""
    copy = Path(shutil.copy(path, path.with_name(f"lines-{path.name}")))
    database = open_database(str(copy), NOW, lambda _: None)
    talk = Conversation(
        database=database,
        screen=Screen(io.StringIO(), io.StringIO()),
        settings=PromptSettings(),
        keep=lambda _: None,
    )
    load_names()
    _typed(talk, BEGUN, NOW)
    took = [
        one for turn in range(ROUNDS) for one in _typed(talk, LINES, NOW + timedelta(minutes=2 * turn + 1))
    ]
    database.close()
    for what, limit, times in (
        ("a line at the prompt", 50, [seconds for line, seconds in took if not _tells(line)]),
        ("a line with what is said at once", 300, [seconds for line, seconds in took if _tells(line)]),
    ):
        within = 1000 * sorted(times)[int(0.95 * len(times))]
        report.add(f"{what} {where}, 95 % of them within", "", within, at_most=limit, unit=" ms")


def _tells(line: str) -> bool:
    """Whether something may be said of its own accord behind the line."""
    try:
        return read_line(line, tuple(VERBS)).verb in TELLING
    except UnknownVerb:
        return False


def _typed(talk: Conversation, lines: Sequence[str], now: datetime) -> list[tuple[str, float]]:
    """Each with its processor time, that of what the bottom line looks up after it included."""
    took = []
    for line in lines:
        begin = time.process_time()
        talk.hear(line, now)
        standing(talk.database, talk.settings.mount)
        took.append((line, time.process_time() - begin))
    return took


def _twenty_years(folder: Path) -> Path:
    path = folder / "twenty.db"
    database = open_database(str(path), NOW, lambda _: None)
    make_club(database, LAST_NIGHT, Size())
    database.close()
    return path
