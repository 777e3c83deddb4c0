"""The tree of the real commands, and what a command line written somewhere means to it."""

import re
import shlex
from collections.abc import Iterator, Sequence
from contextlib import redirect_stderr, redirect_stdout
from functools import cache
from io import StringIO
from typing import Any

from typer.main import get_command

from obslog.cli.app import app

PROGRAM = "obslog"
VALUE = "\x01"  # stands for what a line holds only while the program runs
_AFTER_A_COMMAND = re.compile(r"""["'][^"']*["']|[;)`\n]|[.,:?!](?=\s|$)| - | or (?=obslog)""")


@cache
def tree() -> Any:
    """Built once, as the program builds it: a command keeps nothing of the line that it reads."""
    return get_command(app)


def all_commands(command: Any = None, words: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], Any]]:
    """Every command with the words that lead to it, groups and the program itself too."""
    command = command or tree()
    yield words, command
    for name, inner in getattr(command, "commands", {}).items():
        yield from all_commands(inner, (*words, name))


def context_of(words: Sequence[str], command: Any) -> Any:
    return command.context_class(command, info_name=" ".join((PROGRAM, *words)))


def command_at(words: Sequence[str]) -> tuple[Any, list[str]]:
    """The command that the first of the words lead to, and the words that are left for it."""
    command, left = tree(), list(words)
    while left and left[0] in getattr(command, "commands", {}):
        command = command.commands[left.pop(0)]
    return command, left


def parse(line: str) -> None:
    """Let the real command read a whole line, without running it; raises where it would be refused."""
    words = shlex.split(line)
    assert words.pop(0) == PROGRAM, line
    command, left = command_at(without_program_options(words))
    assert not hasattr(command, "commands") or not left, f"{line}: no such command"
    with redirect_stdout(StringIO()), redirect_stderr(StringIO()):
        command.make_context("line", left)


def faults(line: str) -> list[str]:
    """What a line that may have words in place of values gets wrong: commands and options that are not there."""
    words = without_program_options(shlex.split(line)[1:])
    command, left = command_at(words)
    if hasattr(command, "commands") and left and VALUE in left[0]:
        return []  # the command is made while the program runs
    if hasattr(command, "commands") and left and not left[0].startswith("-"):
        return [f"no command {' '.join(words)!r}"]
    known = {name: option for option in command.params for name in (*option.opts, *option.secondary_opts)}
    options = [word.split("=")[0].split(VALUE)[0] for word in left if word.startswith("-") and len(word) > 1]
    return [f"no option {word!r}" for word in options if word not in known and word not in ("--help", "-h")]


def lines_in(text: str) -> list[str]:
    """The command lines that a sentence names: from the program's name to the end of the clause, quotes kept whole."""
    found = []
    for start in re.finditer(r"\bobslog (?=[a-z{-])", text):
        rest, end = text[start.start() :], None
        for stop in _AFTER_A_COMMAND.finditer(rest):
            if stop.group()[0] not in "\"'" or len(stop.group()) < 2:
                end = stop.start()
                break
        found.append(_balanced(rest[:end].strip()))
    return found


def _balanced(line: str) -> str:
    """The line without a closing quote that belongs to the sentence about it."""
    return line if line.count('"') % 2 == 0 else line.rstrip('"')


def without_program_options(words: list[str]) -> list[str]:
    """The words of a line from its command on."""
    from obslog.cli.look.look import OPTIONS
    from obslog.cli.main import options_first

    words = options_first(words)
    while words and (words[0] in (*OPTIONS, "--version", "--db") or words[0].startswith("--db=")):
        words = words[2:] if words[0] == "--db" else words[1:]
    return words
