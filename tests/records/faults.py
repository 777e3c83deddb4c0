"""A disk that fails, or a program that is killed, at each call that changes something: the first, the second and so on.

Where `children.kill_at_each_statement` kills between statements, this goes below SQLite and Python, to the C library:
in the middle of a page, between a file and its name. It is Linux alone, and needs a C compiler.
"""

import errno
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

import pytest

from tests.records.children import OPENING, ROOT

KILLED, KILLED_IN_THE_MIDDLE, FULL, FAILING = -1, -2, errno.ENOSPC, errno.EIO
ACTIONS = {
    "killed": KILLED,
    "killed in the middle of a write": KILLED_IN_THE_MIDDLE,
    "on a full disk": FULL,
    "on a failing disk": FAILING,
}
DONE, TOLD = 0, 1  # how a run ended that was not killed: acknowledged, or with an error in its two lines
_WORK = """
import ctypes, io, json, os, shutil
from contextlib import redirect_stderr, redirect_stdout
from obslog.cli.main import main
library, source, folder, words, action, first, last, step = (
    sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3]), json.loads(sys.argv[4]), *map(int, sys.argv[5:9])
)
faults = ctypes.CDLL(library)
os.environ["TMPDIR"] = "/tmp"

def work(place):
    os.chdir(place)
    environment = {"OBSLOG_DB": str(place / "club.db"), "OBSLOG_CONFIG": str(place / "settings")}
    with redirect_stdout(io.StringIO()) as said, redirect_stderr(said):
        return main(words, lambda: NOW, environment), said.getvalue()

def run(number):
    place = folder / str(number)
    shutil.copytree(source, place)
    child = os.fork()
    if child == 0:
        faults.fault_arm(str(place).encode(), number, action)
        code, said = work(place)
        seen = faults.fault_seen()
        faults.fault_arm(b"", 0, 0)
        (folder / f"{number}.said").write_text(said)
        os._exit(99 if seen < number else code)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])

code, said = work(shutil.copytree(source, folder / "0"))  # all that it needs is loaded, once for all of them
if code:
    sys.exit(f"the work fails by itself: {said}")
endings = []
for number in range(first, last, step):
    ending = run(number)
    endings.append([number, ending])
    if ending == 99:
        break
print("ENDINGS", json.dumps(endings))
"""


@cache
def shim() -> Path:
    """The library that stands in between, made once."""
    compiler = shutil.which("cc")
    if compiler is None or not Path("/proc/self/fd").exists():
        if os.environ.get("CI"):
            pytest.fail("no C compiler: apt-get install gcc libc6-dev")
        pytest.skip("faults are made on Linux, with a C compiler")
    made = Path(mkdtemp(prefix="faults-")) / "faults.so"
    source = Path(__file__).with_name("faults.c")
    subprocess.run([compiler, "-shared", "-fPIC", "-O1", "-o", made, source, "-ldl"], check=True)
    return made


def every(step: int) -> int:
    """A step from fault to fault: in the suite some of them, and all where OBSLOG_EVERY_FAULT is set."""
    return 1 if os.environ.get("OBSLOG_EVERY_FAULT") else step


def faults_at_each(
    source: Path,
    folder: Path,
    words: Sequence[str],
    action: int,
    *,
    step: int = 1,
    first: int = 1,
    most: int | None = None,
) -> list[tuple[int, int]]:
    """Run a command line in a copy of the folder `source`, its database club.db, with a fault later each time.

    Without a fault it has to end well, which is tried first, in the folder 0.
    Gives the number of the call at which the fault was and how the run ended: an exit code, or less than zero where it
    was killed. The copies are the folders of these numbers in `folder`, with what was said beside them. The last run,
    which met no fault any more, is not among them. With `first` and `most` only these are tried.
    """
    command = [
        sys.executable,
        "-c",
        OPENING + _WORK,
        str(shim()),
        str(source),
        str(folder),
        json.dumps(list(words)),
    ]
    command += [str(number) for number in (action, first, most or 100_000, step)]
    environment = {**os.environ, "LD_PRELOAD": str(shim()), "PYTHONPATH": str(ROOT)}
    done = subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    *_, line = [line for line in done.stdout.splitlines() if line.startswith("ENDINGS ")]
    endings = [(number, ending) for number, ending in json.loads(line.removeprefix("ENDINGS "))]
    past = endings[-1][1] == 99
    assert past or most is not None, "the work never got past its faults"
    return endings[:-1] if past else endings
