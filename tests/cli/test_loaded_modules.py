"""With its results kept a command loads no library that it does not use for its answer: neither scipy nor the fit."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.program import Program

ROOT = Path(__file__).resolve().parents[2]
RECORDS = {"sqlalchemy", "typing_extensions", "platformdirs", "cython_runtime"}
TERMINAL = {"typer", "annotated_doc", "shellingham"}
NUMBERS = {"msgspec", "numpy"}
SKY = {"skyfield", "jplephem", "sgp4", "skyfield_data", "certifi"}
# What each command may load besides the standard library; what is typed at the telescope needs no numbers at all.
MAY_LOAD = {
    "check Procyon 1E": RECORDS | TERMINAL,
    "pointing trend Heron": RECORDS | TERMINAL | NUMBERS,
    "review": RECORDS | TERMINAL | NUMBERS,
    "checklist Heron --site|Mill Field": RECORDS | TERMINAL | NUMBERS | SKY,
    "brief --site|Mill Field": RECORDS | TERMINAL | NUMBERS | SKY,
}
OURS = {"obslog", "sitecustomize"}  # the second is of whoever packed Python
FITTING = {"fit", "mixture", "elimination", "second_look", "scatter", "estimates", "rows"}


def words(line: str) -> list[str]:
    """The words of a line; after a bar stands the last one, whatever its spaces."""
    first, _, last = line.partition("|")
    return [*first.split(), *([last] if last else [])]


def loaded(program: Program, line: str) -> set[str]:
    """All modules that a process of its own has loaded when the command has ended."""
    script = (
        "import sys; from datetime import UTC, datetime; from obslog.cli.main import main; "
        "code = main(sys.argv[1:], lambda: datetime(2026, 3, 2, 21, 40, tzinfo=UTC)); "
        "print(*sys.modules, file=sys.stderr); sys.exit(code)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", script, *words(line)],
        env={**program.environment, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr.splitlines()[:3]
    return set(ran.stderr.splitlines()[-1].split())


@pytest.mark.parametrize("line", MAY_LOAD)
def test_a_command_loads_what_it_needs(outside: Program, line: str) -> None:
    if not line.startswith("check "):
        outside("night", "end")
        outside(*words(line))
    modules = loaded(outside, line)
    packages = {name.partition(".")[0] for name in modules if not name.startswith("_")}
    assert packages - sys.stdlib_module_names - MAY_LOAD[line] - OURS == set()
    assert {name for name in modules if name.startswith("obslog.pointing.joint_fit.")} & {
        f"obslog.pointing.joint_fit.{part}" for part in FITTING
    } == set()


# A line for each command and group of the program: run in this order, none of them draws anything.
NO_PICTURE = [
    "start", "prompt", "sync Regulus", "check Procyon", "goto Procyon", "saw Procyon", "edit 1 --role|check",
    "undo", "redo", "history", "review", "checklist Heron", "brief", "optics L W", "targets --most 3", "find Procyon",
    "progress messier --member Ines", "scales", "words", "demo --help", "night list", "setup show Heron",
    "snag list", "observation list", "sky when M|31", "sky pole", "pointing fit Heron --chart",
    "pointing trend Heron", "pointing mistakes --star Capella --east 11 --north|0",
    "pointing compare", "page --help", "sheet --help", "look", "import items --columns", "export arrivals", "site list",
    "member list", "mount list", "tube list", "eyepiece list", "item list", "store list", "service list",
    "kit list", "loan list", "rule list", "officer report", "db check",
    "bundle write --help", "merge --help", "conflicts", "same --help",
    "stocktake past", "label --help", "look", "page --help", "sheet --help",
]  # fmt: skip


def test_nothing_but_a_picture_loads_what_draws_it(outside: Program, tmp_path: Path) -> None:
    """All in one process: what one of them loads would still be there at the end."""
    from obslog.cli.commands import COMMANDS

    assert {line.split()[0] for line in NO_PICTURE} | {"page"} == set(COMMANDS)
    script = (
        "import sys; from datetime import UTC, datetime; from obslog.cli.main import main\n"
        "clock = lambda: datetime(2026, 3, 2, 21, 45, tzinfo=UTC)\n"
        "for line in sys.argv[1:]:\n"
        "    first, _, last = line.partition('|')\n"
        "    words = [*first.split(), *([last] if last else [])]\n"
        "    code = main(words, clock)\n"
        "    loaded = [name for name in ('matplotlib', 'jinja2') if name in sys.modules]\n"
        "    print('RAN', code, *loaded, line, file=sys.stderr)\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", script, *NO_PICTURE],
        env={**outside.environment, "PYTHONPATH": str(ROOT)},
        cwd=tmp_path, stdin=subprocess.DEVNULL, capture_output=True, text=True, check=True,
    )  # fmt: skip
    told = [line.removeprefix("RAN ") for line in ran.stderr.splitlines() if line.startswith("RAN ")]
    assert [line for line in told if line not in {f"0 {one}" for one in NO_PICTURE}] == []
    assert len(told) == len(NO_PICTURE)


def test_a_picture_does_load_it(outside: Program, tmp_path: Path) -> None:
    line = f"pointing trend Heron --picture|{tmp_path / 'heron.svg'}"
    assert "matplotlib" in loaded(outside, line)
