"""The table of commands says the truth about each of them, and costs nothing but what is asked for."""

import subprocess
import sys

import pytest

from obslog.cli.commands import COMMANDS, PARTS
from tests.cli.commands import tree
from tests.cli.program import Program

WIDE = 200  # of a terminal: no summary is cut short


@pytest.mark.parametrize("name", COMMANDS)
def test_the_table_tells_the_name_and_the_summary_of_the_command_itself(name: str) -> None:
    command = tree().commands[name]
    assert command.name == name
    assert not command.hidden
    assert command.get_short_help_str(WIDE) == COMMANDS[name].summary


def test_every_command_that_a_module_adds_to_the_program_is_in_the_table() -> None:
    """A function that adds two commands needs two lines."""
    import importlib

    import typer

    for module, attribute in {(entry.module, entry.attribute) for entry in COMMANDS.values()}:
        part = getattr(importlib.import_module(module), attribute)
        if isinstance(part, typer.Typer):
            continue
        added = typer.Typer()
        part(added)
        ours = {
            name for name, entry in COMMANDS.items() if (entry.module, entry.attribute) == (module, attribute)
        }
        assert {one.name for one in added.registered_commands} == ours


def test_help_lists_the_commands_under_their_headings_in_one_column(
    program: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    page = program.must("--help").out
    shown = page[page.index("To begin with:") :].split("\n\n")
    assert [part.partition(":\n")[0] for part in shown] == list(PARTS)
    lines = [line for part in shown for line in part.splitlines()[1:]]
    assert [tuple(line.split(maxsplit=1)) for line in lines] == [
        (name, entry.summary) for name, entry in COMMANDS.items()
    ]
    assert len({line.index(entry.summary) for line, entry in zip(lines, COMMANDS.values(), strict=True)}) == 1


def test_without_words_the_program_shows_its_help(program: Program) -> None:
    answer = program()
    assert answer.code == 2
    assert "To begin with:" in answer.err


def test_a_mistyped_command_is_answered_with_those_like_it(program: Program) -> None:
    answer = program("chekc", "Vega")
    assert answer.code == 2
    assert answer.error_lines[0] == "No such command 'chekc'. Did you mean 'check'?"


@pytest.mark.parametrize(
    ("words", "meant"),
    [
        ("end night", "obslog night end"), ("add member Ines", "obslog member add"),
        ("--red list mounts", "obslog mount list"), ("--db x.db start night", "obslog night start"),
        ("help", "obslog --help"), ("help sync", "obslog sync --help"), ("help nothing", "obslog --help"),
    ],
)  # fmt: skip
def test_words_in_the_order_of_a_sentence_are_answered_with_the_command(
    program: Program, words: str, meant: str
) -> None:
    answer = program(*words.split())
    assert answer.code == 2
    assert answer.error_lines[1] == f"Did you mean {meant}?"


@pytest.mark.parametrize(
    ("words", "meant"),
    [
        ("end knight", "Did you mean obslog night end or obslog setup end?"),
        ("list sync", "It is typed at the prompt of: obslog prompt; outside of it: obslog setup show"),
    ],
)
def test_a_first_word_alone_is_answered_with_the_commands_that_end_in_it(
    program: Program, words: str, meant: str
) -> None:
    assert program(*words.split()).error_lines[1] == meant


@pytest.mark.parametrize("words", ["show", "start mount"])
def test_no_command_is_made_up_from_words_of_which_no_order_is_one(program: Program, words: str) -> None:
    assert "See its help" in program(*words.split()).error_lines[1]


def test_a_sheet_that_nobody_said_what_it_lists_leads_to_the_commands_that_take_it(program: Program) -> None:
    answer = program("import", "club list.xlsx")
    assert answer.code == 2
    assert answer.error_lines == [
        "It is not said what club list.xlsx lists.",
        'Items: obslog import items "club list.xlsx"; or in place of items: members, kits, services, loans, '
        "observations, arrivals",
    ]


def loaded_by(words: list[str]) -> set[str]:
    """The modules of the command line that a process of its own has loaded when it ends."""
    script = (
        "import sys; from obslog.cli.main import main; main(sys.argv[1:]); "
        "print(*(name for name in sys.modules if name.startswith('obslog.')), file=sys.stderr)"
    )
    ran = subprocess.run([sys.executable, "-c", script, *words], capture_output=True, text=True, check=True)
    return set(ran.stderr.split())


@pytest.mark.parametrize(
    ("words", "needed"),
    [
        (["--help"], set()),
        (["words", "arrival"], {"obslog.cli.words"}),
        (["check", "--help"], {"obslog.cli.night.quick_verbs"}),
    ],
)
def test_only_what_is_asked_for_is_imported(words: list[str], needed: set[str]) -> None:
    modules = loaded_by(words)
    of_commands = {entry.module for entry in COMMANDS.values()}
    assert modules & of_commands == needed
    assert "obslog.cli.app" in modules
