"""A reader who has gone, a full disk behind the output, Ctrl-C; and what is imported to say how it goes."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.program import Program

ROOT = Path(__file__).resolve().parents[2]
FULL_DISK = Path("/dev/full")


def started(
    program: Program, *words: str, stdout: int, options: tuple[str, ...] = ()
) -> subprocess.Popen[str]:
    """The program as a process of its own."""
    environment = {**os.environ, **program.environment, "PYTHONPATH": str(ROOT)}
    command = [sys.executable, *options, "-m", "obslog", *words]
    return subprocess.Popen(
        command, env=environment, cwd=ROOT, text=True, stdout=stdout, stderr=subprocess.PIPE
    )


@pytest.mark.parametrize("line", ["setup show", "export arrivals", "--help"])
def test_a_reader_who_has_gone_ends_the_program_quietly(outside: Program, line: str) -> None:
    reader, writer = os.pipe()
    os.close(reader)
    child = started(outside, *line.split(), stdout=writer)
    os.close(writer)
    _, errors = child.communicate(timeout=120)
    # 128 + 13: the signal for a pipe that nobody reads, as shells give it (POSIX, signal.h).
    assert (child.returncode, errors) == (141, "")


@pytest.mark.skipif(not FULL_DISK.exists(), reason="this system has no /dev/full")
def test_a_full_disk_behind_the_output_is_told_in_two_lines(outside: Program) -> None:
    with FULL_DISK.open("w") as full:
        child = started(outside, "setup", "show", stdout=full.fileno())
        _, errors = child.communicate(timeout=120)
    assert child.returncode == 1
    assert len(errors.splitlines()) == 2
    assert "no space left" in errors


def test_ctrl_c_is_answered_in_one_line(in_club: Program, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(*_arguments: object, **_options: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("obslog.club.register.named_records.listed", stop)
    answer = in_club("mount", "list")
    # 128 + 2: the signal of Ctrl-C, as shells give it.
    assert (answer.code, answer.out) == (130, "")
    assert len(answer.error_lines) == 1


def imported(program: Program, *words: str) -> set[str]:
    """The top-level packages that a run of the program imports, as Python itself tells."""
    child = started(program, *words, stdout=subprocess.DEVNULL, options=("-X", "importtime"))
    _, errors = child.communicate(timeout=120)
    assert child.returncode == 0, errors[-500:]
    return {line.rsplit("|", 1)[1].strip().split(".")[0] for line in errors.splitlines() if "|" in line}


@pytest.mark.parametrize("line", ["--help", "night --help", "sync --help"])
def test_help_imports_nothing_heavy(program: Program, line: str) -> None:
    heavy = {"sqlalchemy", "skyfield", "numpy", "scipy", "alembic", "pydantic", "matplotlib", "jinja2"}
    assert imported(program, *line.split()) & heavy == set()


@pytest.mark.parametrize("line", ["sync Vega 3E 2N", "saw M 31", "undo", "snag add power loose"])
def test_a_quick_verb_imports_only_the_database(outside: Program, line: str) -> None:
    # The child has no clock of the test's: it is told an instant of the night that is open.
    options = [] if line == "undo" else ["--at", "2026-03-02T21:39:30Z"]
    got = imported(outside, *line.split(), *options)
    assert "sqlalchemy" in got
    assert got & {"skyfield", "numpy", "scipy", "alembic", "pydantic", "matplotlib", "jinja2"} == set()
