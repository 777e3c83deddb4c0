"""Child processes for tests of what happens between programs, or when one is killed."""

import json
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import Engine, event

ROOT = Path(__file__).resolve().parents[2]
OPENING = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from obslog.errors import ObslogError
from obslog.records.opening import open_database
NOW = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)
"""


def start(script: str, *arguments: object, stdin: bool = False) -> subprocess.Popen[str]:
    """A child that runs the script, which begins with OPENING, in the checkout."""
    command = [sys.executable, "-c", OPENING + script, *(str(argument) for argument in arguments)]
    pipe = subprocess.PIPE
    return subprocess.Popen(
        command, cwd=ROOT, text=True, stdin=pipe if stdin else None, stdout=pipe, stderr=pipe
    )


def output(child: subprocess.Popen[str], expected: int = 0, seconds: float = 120) -> str:
    """What the child printed; fails with its errors where it ended otherwise than expected, or takes too long."""
    out, errors = child.communicate(timeout=seconds)
    assert child.returncode == expected, errors
    return out


def side_by_side(count: int, work: str, *arguments: object) -> list[str]:
    """What each of several processes printed that did the same work at one time; fails where one of them failed.

    The script `work` defines `work()`. They are forked from one child that has imported everything: that takes less
    time, and they begin within milliseconds of each other, where programs that import for themselves begin apart.
    """
    said: list[str] = json.loads(output(start(work + SIDE_BY_SIDE, *arguments, count)))
    return said


SIDE_BY_SIDE = """
import json, os
import alembic.command

readers = []
for _ in range(int(sys.argv[-1])):
    reader, writer = os.pipe()
    if os.fork() == 0:
        os.dup2(writer, sys.stdout.fileno())
        try:
            work()
            sys.stdout.flush()
        except BaseException as error:
            print(repr(error), file=sys.stderr, flush=True)
            os._exit(1)
        os._exit(0)
    os.close(writer)
    readers.append(reader)
said = []
for reader in readers:
    with os.fdopen(reader) as pipe:
        said.append(pipe.read())
endings = [os.waitstatus_to_exitcode(os.wait()[1]) for _ in readers]
print(json.dumps(said))
sys.exit(any(endings))
"""


@contextmanager
def left_at_each_statement(folder: Path, into: Path) -> Iterator[list[Path]]:
    """What a kill before each statement and each commit in the block would leave in the folder: copies, in order.

    A process that is killed leaves the bytes that it has written and nothing else; so a copy made at that point is what
    would be found. It spares starting long works, such as all the upgrades, once for each of their statements.
    """
    copies: list[Path] = []

    def copy(*_: object) -> None:
        copies.append(Path(shutil.copytree(folder, into / str(len(copies)))))

    for moment in ("before_cursor_execute", "commit"):
        event.listen(Engine, moment, copy)
    try:
        yield copies
    finally:
        for moment in ("before_cursor_execute", "commit"):
            event.remove(Engine, moment, copy)


def kill_at_each_statement(work: str, *arguments: object) -> int:
    """Do the work again and again, killed before its first statement, its second and so on; how many there were.

    The script `work` defines `prepare(number)` and `work(number)`; number 0 goes before and is not killed. A commit
    counts as a statement. Each is killed in a fork of one child, which has imported everything, to take little time.
    """
    return int(output(start(work + KILL_AT_EACH, *arguments), seconds=300))


KILL_AT_EACH = """
import os, signal
from itertools import count
from sqlalchemy import Engine, event

def was_killed(number):
    child = os.fork()
    if child == 0:
        statements = count(1)

        def stop(*_):
            if next(statements) == number:
                os.kill(os.getpid(), signal.SIGKILL)

        event.listen(Engine, "before_cursor_execute", stop)
        event.listen(Engine, "commit", stop)
        try:
            work(number)
        except BaseException as error:
            print(repr(error), file=sys.stderr, flush=True)
            os._exit(1)
        os._exit(0)
    ending = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    if ending not in (0, -signal.SIGKILL):
        sys.exit("the work failed by itself")
    return ending != 0

prepare(0)
work(0)
number = 1
prepare(number)
while was_killed(number):
    number += 1
    prepare(number)
print(number - 1)
"""
