"""Help can be read at a glance and pasted: whole summaries, plain words for values, examples that work."""

import re
from typing import Any

import pytest

from obslog.cli.terminal.help_pages import paragraphs
from tests.cli.commands import all_commands, context_of, parse
from tests.cli.program import Program

LONGEST_SUMMARY = 60
WORDS = {
    "NAME", "TEXT", "NUMBER", "DATE", "TIME", "FILE", "FOLDER", "WORD", "ANGLE", "ZONE", "OBJECT",
    "MEMBER", "MOUNT", "TUBE", "EYEPIECE", "ITEM", "KIT", "BATTERY", "REPLACEMENT", "REMEDY",
    "NAME [WHERE]", "OBJECT [TEXT]", "PART", "SITE", "RULE", "REFERENCE", "STEP", "DRIFT", "LIST", "SCALE", "WHERE",
    "CATEGORY", "KIND", "VALUE", "DATABASE", "SIDE", "LOOK", "OTHER",
    "COPY", "RECORD", "KEPT",
}  # fmt: skip
COMMANDS = [
    pytest.param(words, command, id=" ".join(("obslog", *words))) for words, command in all_commands()
]


def summary_of(command: Any) -> str:
    return " ".join(next(paragraphs(command.help), "").split())


def examples_of(command: Any) -> list[str]:
    return [
        line for part in paragraphs(command.help) if part.startswith("obslog ") for line in part.splitlines()
    ]


@pytest.mark.parametrize(("words", "command"), COMMANDS)
def test_a_summary_is_one_whole_short_sentence(words: tuple[str, ...], command: Any) -> None:
    summary = summary_of(command)
    assert len(summary) < LONGEST_SUMMARY, summary
    assert re.fullmatch(r"[A-Z][^.]*(\.[^ ][^.]*)*\.", summary), summary
    assert "obslog" not in summary
    assert command.get_short_help_str(LONGEST_SUMMARY) == summary


@pytest.mark.parametrize(("words", "command"), COMMANDS)
def test_values_are_named_in_words(words: tuple[str, ...], command: Any) -> None:
    context = context_of(words, command)
    for parameter in command.get_params(context):
        if parameter.param_type_name == "option" and parameter.is_flag:
            continue
        metavar = parameter.metavar
        assert metavar is not None, parameter.name
        assert metavar in WORDS or re.fullmatch(r"[a-z\d -]+(\|[a-z\d -]+)+", metavar), metavar
    usage = command.get_usage(context)
    assert re.fullmatch(r"Usage: [a-zA-Z|\[\] .\s-]+", usage), usage
    assert not re.search(r"\[\[|\]\]|\.{4}", usage), usage
    assert "<" not in command.get_help(context)


@pytest.mark.parametrize(("words", "command"), COMMANDS)
def test_every_example_is_read_by_its_own_command(words: tuple[str, ...], command: Any) -> None:
    for number, line in enumerate(examples_of(command)):
        assert number or line.startswith(" ".join(("obslog", *words))), line
        parse(line)
    if examples_of(command):
        assert "'" not in "".join(re.sub(r'"[^"]*"', "", line) for line in examples_of(command))
        prose = " ".join(p for p in paragraphs(command.help) if not p.startswith("obslog "))
        assert not re.search(r": obslog ", prose), "an example stands on a line of its own"


def test_examples_are_many_and_a_wrong_one_would_be_noticed() -> None:
    assert sum(len(examples_of(command)) for _, command in all_commands()) > 30
    for wrong in (
        "obslog mount lst",
        "obslog mount add Heron --tpye fork",
        "obslog mount add Heron --type dobson",
    ):
        with pytest.raises(Exception, match=r"lst|tpye|dobson"):
            parse(wrong)


def test_the_programs_options_are_listed_once(program: Program) -> None:
    for words, command in all_commands():
        listed = {name for option in command.get_params(context_of(words, command)) for name in option.opts}
        assert ({"--red", "--db", "--version"} <= listed) is (words == ()), words


def test_nothing_is_cut_short_at_80_columns(program: Program, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    cut: list[str] = []
    for words, command in all_commands():
        if hasattr(command, "commands"):
            lines = program.must(*words, "--help").out.splitlines()
            cut += [
                f"{' '.join(words)}: {line}"
                for line in lines
                if line.endswith("...") and "[ARGS]" not in line
            ]
    assert cut == []
