"""Every command and option that a hint, a screen or a page names is there."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from obslog.cli.terminal.help_pages import paragraphs
from tests.cli.commands import VALUE, all_commands, faults, lines_in
from tests.cli.source_texts import KIND, PAGES, ROOT, SOURCES, texts

KINDS = ("site", "member", "mount", "tube", "eyepiece", "item", "kit")
OPTION = re.compile(r"(?<![\w-])--[a-z][a-z-]+")
PROSE = ("obslog database", "obslog on this machine", "obslog command that")
CODE = re.compile(r"import (?!arrivals)|export [A-Z_]+=")
NO_OPTIONS_OF_OURS = {
    "--strict": "mypy",
    "--table": "tests.benchmarks",
    "--cov": "pytest",
    "--randomly-seed": "pytest-randomly",
    "--autogenerate": "alembic",
    "--rev-id": "alembic",
    "--id": "winget",
    "--no-privileges": "pg_restore",
    "--user": "pip",
    "--reinstall": "uv",
    "--force": "pipx",
    "--python": "uv and pipx",
    "--pwprompt": "createuser",
    "--createrole": "createuser",
    "--owner": "createdb",
    "--host": "pg_dump",
    "--username": "pg_dump",
    "--format": "pg_dump",
    "--file": "pg_dump",
    "--dbname": "pg_restore",
}


def hints() -> Iterator[tuple[str, str]]:
    for path in SOURCES:
        for line, text in texts(path):
            for hint in lines_in(text.replace(KIND, "{kind}")):
                if hint.startswith(PROSE):
                    continue
                place = f"{path.relative_to(ROOT)}:{line}"
                for kind in KINDS if "{kind}" in hint else ("",):
                    yield place, hint.replace("{kind}", kind)


def test_every_command_that_a_text_names_is_there() -> None:
    named = list(hints())
    wrong = [f"{place}: {hint}: {fault}" for place, hint in named for fault in faults(hint)]
    assert wrong == []
    assert len(named) > 50


def test_every_option_that_a_text_names_is_an_option_of_some_command() -> None:
    known = {
        name
        for _, command in all_commands()
        for option in command.params
        for name in (*option.opts, *option.secondary_opts)
    } | {"--help", "--install-completion", "--show-completion"}
    known |= set(NO_OPTIONS_OF_OURS)
    wrong = [
        f"{path.relative_to(ROOT)}:{line}: {option}"
        for path in SOURCES
        for line, text in texts(path)
        for option in OPTION.findall(text)
        if option.split(VALUE)[0] not in known
    ]
    wrong += [
        f"{page.name}: {option}"
        for page in PAGES
        for option in OPTION.findall(page.read_text(encoding="utf-8"))
        if option not in known
    ]
    assert wrong == []


def left_open_to_a_shell(line: str) -> set[str]:
    """What a shell would not hand on: a pipe, a redirection or the end of a command outside of quotes."""
    return set(re.sub(r"""\"[^\"]*\"|'[^']*'""", "", line)) & set("|<>;")


def test_no_hint_and_no_example_holds_what_a_shell_takes_for_itself() -> None:
    shown = list(hints())
    shown += [  # what is put behind a command: its options stand in a text of their own
        (f"{path.relative_to(ROOT)}:{line}", text.partition(";")[0])
        for path in SOURCES
        for line, text in texts(path)
        if text.lstrip().startswith("--")
    ]
    shown += [
        (" ".join(words), line)
        for words, command in all_commands()
        for part in paragraphs(command.help)
        if part.startswith("obslog ")
        for line in part.splitlines()
    ]
    assert [f"{place}: {line}" for place, line in shown if left_open_to_a_shell(line)] == []
    assert left_open_to_a_shell("obslog mount add Heron --type german|fork") == {"|"}
    assert left_open_to_a_shell('obslog find "a|b"; rm <it >there') == {";", "<", ">"}


def test_every_hint_quotes_with_double_quotes() -> None:
    """To one shell in wide use a single quote is a letter like any other."""
    assert [f"{place}: {hint}" for place, hint in hints() if "'" in re.sub(r'"[^"]*"', "", hint)] == []


def test_every_kind_of_unknown_name_can_be_listed() -> None:
    """An unknown name whose hint is not given says `obslog KIND list`: that has to be a command."""
    wrong = []
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Call)
                and getattr(node.func, "id", "") == "UnknownName"
                and len(node.args) == 3
            ):
                kind = node.args[0]
                if (
                    not node.keywords
                    and isinstance(kind, ast.Constant)
                    and isinstance(kind.value, str)
                    and faults(f"obslog {kind.value} list")
                ):
                    wrong.append(f"{path.relative_to(ROOT)}:{node.lineno}: {kind.value}")
    assert wrong == []


def test_what_adds_an_unknown_name_is_a_command() -> None:
    """The fourth argument stands after "To add it:" or "To add a new one:"."""
    wrong = []
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Call)
                and getattr(node.func, "id", "") == "UnknownName"
                and len(node.args) == 4
            ):
                how = ast.unparse(node.args[3])
                if isinstance(node.args[3], ast.Constant | ast.JoinedStr) and "obslog " not in how[:10]:
                    wrong.append(f"{path.relative_to(ROOT)}:{node.lineno}: {how}")
    assert wrong == []


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_command_that_a_page_names_is_there(page: Path) -> None:
    spans = [
        span for span in re.findall(r"`([^`\n]+)`", page.read_text(encoding="utf-8")) if not CODE.match(span)
    ]
    first_words = {words[0] for words, _ in all_commands() if words}
    lines = [span if span.startswith("obslog ") else f"obslog {span}" for span in spans]
    named = [
        line
        for line in lines
        if line.split()[1:] and line.split()[1] in first_words and line.count("'") % 2 == 0
    ]
    wrong = [f"{line}: {fault}" for line in named for fault in faults(line)]
    assert wrong == []


def test_a_line_that_names_what_is_not_there_would_be_noticed() -> None:
    assert faults("obslog mount lst") == ["no command 'mount lst'"]
    assert faults("obslog mount list --retired") == ["no option '--retired'"]
    assert faults('obslog loan back "Evening kit"') == []
    assert lines_in('Take it back: obslog loan back "A. B"; or: obslog loan list.') == [
        'obslog loan back "A. B"',
        "obslog loan list",
    ]
