"""Completion as a shell asks for it: the program is run with the line so far in the environment, and prints words."""

import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from obslog.cli.terminal.completion import for_shell
from obslog.vocabulary.steps import Step
from tests.cli.program import Program
from tests.club.routine.own_step import OWN_STEP

NAMES = [
    "Long tube",
    "Grandmother's refractor",
    'The "old" one',
    "$(touch made)",
    "`touch made`; x",
    "Prüfling & Co",
]


class Shell:
    """Asks the program in this process as bash does, and gives the words it offers."""

    def __init__(self, program: Program, monkeypatch: pytest.MonkeyPatch) -> None:
        self.program, self._patch, self.errors = program, monkeypatch, ""

    def __call__(self, *words: str, shell: str = "bash") -> list[str]:
        line = ["obslog", *words]
        asked = {
            "_OBSLOG_COMPLETE": f"complete_{shell}",
            "COMP_WORDS": "\n".join(line),
            "COMP_CWORD": str(len(line) - 1),
            "_TYPER_COMPLETE_ARGS": " ".join(line),
            "_TYPER_COMPLETE_FISH_ACTION": "get-args",
            "_TYPER_COMPLETE_WORD_TO_COMPLETE": line[-1],
        }
        self.program.environment.update(asked)
        for name, value in asked.items():
            self._patch.setenv(name, value)
        answer = self.program()
        assert answer.code == 0
        self.errors = answer.err
        return [line for line in answer.out.splitlines() if line]


@pytest.fixture
def shell(in_club: Program, monkeypatch: pytest.MonkeyPatch) -> Shell:
    return Shell(in_club, monkeypatch)


@pytest.mark.parametrize(
    ("line", "offered"),
    [
        ("setup start He", ["Heron"]),
        ("setup start he", ["Heron"]),
        ("setup start Heron --tube L", ["Long\\ tube"]),
        ("setup start Heron --eyepiece W", ["Wide\\ 25"]),
        ("night start M", ["Mill\\ Field"]),
        ("night start Mill --with B", ["Bram\\ Ostler"]),
        ("loan out Lead", ["Lead\\ battery"]),
        ("mount show T", ["Thistle"]),
        ("tube show Th", []),  # no tube begins so; a mount does
        ("tube show t", ["Long\\ tube"]),  # its second word does
        ("night start f", ["Mill\\ Field"]),
        ("night start Mill --with ost", ["Bram\\ Ostler"]),
        ("setup start Heron --eyepiece 2", ["Stop\\ 20", "Wide\\ 25"]),
        ("setup start Heron --eyepiece s", ["Stop\\ 20"]),
        ("mount add T", []),  # a new name
        ("sync Veg", ["Vega"]),
        ("mount add New --type f", ["fork"]),
        ("che", ["checklist", "check"]),
        ("setup st", ["start"]),
        ("sync Vega --now", []),
    ],
)
def test_what_is_offered(shell: Shell, line: str, offered: list[str]) -> None:
    assert shell(*line.split(" ")) == offered
    assert shell.errors == ""


def test_steps_of_the_checklist_are_offered(shell: Shell) -> None:
    assert shell("checklist", "Heron", "--tick", "pol") == [step for step in Step if step.startswith("pol")]
    assert shell("loan", "fault", "Loose", "--step", "") == list(Step)
    assert shell("snag", "add", "po") == ["power", "polar-axis"]


def test_the_clubs_own_steps_are_offered_in_its_order(shell: Shell, tmp_path: Path) -> None:
    file = tmp_path / "routine.toml"
    file.write_text(OWN_STEP, encoding="utf-8")
    shell.program.must("rule", "load", str(file))
    assert shell("snag", "add", "") == ["pack", "key-in", "power", "dew-heaters"]
    assert shell("checklist", "Heron", "--tick", "heat") == ["dew-heaters"]


def test_the_database_of_the_line_is_asked(shell: Shell, tmp_path: Path) -> None:
    assert shell("--db", str(tmp_path / "none.db"), "mount", "show", "H") == []
    assert not (tmp_path / "none.db").exists(), "to look makes no database"


@pytest.mark.parametrize("content", [None, b"no database at all" * 100, b""])
def test_a_database_that_cannot_be_read_offers_nothing_and_says_nothing(
    shell: Shell, content: bytes | None
) -> None:
    path = Path(shell.program.environment["OBSLOG_DB"])
    path.unlink() if content is None else path.write_bytes(content)
    assert shell("mount", "show", "H") == []
    assert shell.errors == ""
    assert path.exists() is (content is not None)


def test_a_server_is_not_waited_for(shell: Shell) -> None:
    assert shell("--db", "postgresql+psycopg://nobody@192.0.2.1/club", "mount", "show", "H") == []


def test_what_is_retired_is_not_offered(shell: Shell) -> None:
    shell.program.must("mount", "retire", "Heron", "--why", "worn")
    assert shell("mount", "show", "H") == []


@pytest.mark.parametrize("shell_name", ["bash", "zsh", "fish", "powershell", "pwsh"])
@pytest.mark.parametrize("name", ["He\x1b[31mron", "He\nron", "He\u202eron", "--sure"])
def test_what_a_terminal_would_obey_is_never_shown(shell_name: str, name: str) -> None:
    assert for_shell(name, {"_OBSLOG_COMPLETE": f"complete_{shell_name}"}) is None


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("quote", ["", '"', "'"])
def test_bash_reads_the_name_back_as_it_is(name: str, quote: str) -> None:
    asked = {"_OBSLOG_COMPLETE": "complete_bash", "COMP_WORDS": f"obslog\n{quote}", "COMP_CWORD": "1"}
    offered = for_shell(name, asked)
    if quote == "'" and "'" in name:
        assert offered is None
    else:
        assert offered is not None
        if quote == '"':  # within double quotes a backslash before $ and ` goes away too, which shlex leaves
            offered = offered.replace("\\$", "$").replace("\\`", "`")
        assert shlex.split(f"{quote}{offered}{quote}") == [name]


def test_zsh_which_evaluates_what_it_gets_is_given_plain_names_only() -> None:
    shown = [for_shell(name, {"_OBSLOG_COMPLETE": "complete_zsh"}) for name in NAMES]
    assert shown == ["Long tube", None, None, None, None, "Prüfling & Co"]


def test_power_shell_is_given_quoted_names() -> None:
    shown = [for_shell(name, {"_OBSLOG_COMPLETE": "complete_pwsh"}) for name in ("Heron", "O'Neil’s tube")]
    assert shown == ["Heron", "'O''Neil’’s tube'"]


@pytest.mark.skipif(shutil.which("bash") is None, reason="there is no bash")
def test_bash_itself_takes_the_names_and_runs_none(in_club: Program, tmp_path: Path) -> None:
    for name in NAMES[2:]:
        in_club.must("tube", "add", name, "--aperture-mm", "100", "--focal-mm", "500")
    program = tmp_path / "obslog"
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m obslog "$@"\n')
    program.chmod(0o755)
    script = (
        f'source <(_OBSLOG_COMPLETE=source_bash "{program}"); '
        f'COMP_WORDS=(obslog tube show ""); COMP_CWORD=3; _obslog_completion "{program}"; '
        'for word in "${COMPREPLY[@]}"; do eval "printf \'%s\\n\' $word"; done'
    )
    ran = subprocess.run(
        ["bash", "-c", script],
        cwd=tmp_path,
        env={"PATH": f"{tmp_path}:/usr/bin:/bin", "PYTHONPATH": str(Path(__file__).parents[3])}
        | {"OBSLOG_DB": in_club.environment["OBSLOG_DB"]},
        capture_output=True,
        text=True,
        check=True,
    )
    assert set(ran.stdout.splitlines()) == {"Long tube", *NAMES[2:]}, ran.stderr
    assert not (tmp_path / "made").exists()
