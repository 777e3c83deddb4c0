"""How much longer a line takes on a long page than on a short one, when a night is typed up from paper."""

import io
import sys
import tempfile
import time
from contextlib import redirect_stderr, redirect_stdout
from datetime import UTC, datetime
from pathlib import Path

from obslog.cli.main import main as run
from tests.benchmarks.measuring import Report

SHORT, LONG, RUNS = 20, 120, 3
MORNING = datetime(2026, 3, 3, 9, 30, tzinfo=UTC)
CLUB = (
    ["site", "add", "Mill Field", "--lat", "52.2", "--lon", "0.12", "--tz", "Europe/London"],
    ["member", "add", "Ines"],
    ["mount", "add", "Heron", "--type", "german", "--controller", "shift"],
    ["tube", "add", "Long tube", "--aperture-mm", "200", "--focal-mm", "1000"],
    ["eyepiece", "add", "Wide 25", "--focal-mm", "25", "--field-deg", "52"],
)
PAGE = [
    "Mill Field",
    "2026-03-02",
    "Ines",
    "antoniadi 2",
    "",
    "Heron",
    "Long tube",
    "Wide 25",
    "Ines",
    "19:00",
]


def lines(count: int) -> list[str]:
    """A line every two minutes from 19:10 on: checks and observations in turn."""
    verbs = ("check Capella 3E 2N", "saw M 81; oval glow")
    return [f"{19 + (10 + 2 * n) // 60}:{(10 + 2 * n) % 60:02d} {verbs[n % 2]}" for n in range(count)]


def seconds(count: int, database: Path) -> float:
    """Processor time of the whole dialogue, each answer checked, read back and saved; then undone."""
    environment = {"OBSLOG_DB": str(database)}
    typed, keyboard = "\n".join([*PAGE, *lines(count), "", "yes"]) + "\n", sys.stdin
    heard = io.StringIO()
    with redirect_stdout(heard), redirect_stderr(heard):
        try:
            sys.stdin = io.StringIO(typed)
            start = time.process_time()
            code = run(["night", "type-up"], lambda: MORNING, environment)
            spent = time.process_time() - start
        finally:
            sys.stdin = keyboard
        assert code == 0, heard.getvalue()
        assert run(["undo"], lambda: MORNING, environment) == 0
    return spent


def main(report: Report) -> None:
    with tempfile.TemporaryDirectory() as folder:
        database = Path(folder) / "club.db"
        with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()):
            for words in CLUB:
                assert run(words, lambda: MORNING, {"OBSLOG_DB": str(database)}) == 0
        seconds(SHORT, database)  # what is imported or read once stays out of it
        turns = [(seconds(SHORT, database) / SHORT, seconds(LONG, database) / LONG) for _ in range(RUNS)]
    short, long = (min(times) for times in zip(*turns, strict=True))
    what = f"`night type-up`, a line of a page of {LONG}"
    report.add(what, f"a line of a page of {SHORT}", long / short, at_most=1.2)
