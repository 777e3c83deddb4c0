"""How a command's help is laid out: plain words for what an option takes, examples whole on lines of their own.

In place of the names of Python's types stands a word: `WORDS_FOR` by the option's name where its values are names or
times, else by its type. Choices are listed where they are few. An argument is called as its parameter.
"""

import re
from collections.abc import Iterator
from datetime import date
from enum import StrEnum
from inspect import cleandoc
from pathlib import Path
from typing import Any

from typer.core import TyperCommand, TyperGroup

from obslog.cli.terminal.completion import offer_names
from obslog.cli.terminal.fast_arguments import declared_type, read_quickly

_NUMBER = r"-?\d+(?:\.\d+)?"
EXAMPLE = "obslog "
LONGEST_CHOICES = 40
_NAMED = (
    "mount", "tube", "eyepiece", "item", "kit", "site", "member", "observer", "observers", "present", "rename", "part",
    "parts", "by", "not_seen_by", "star", "target", "programme",
)  # fmt: skip
WORDS_FOR = {**dict.fromkeys(_NAMED, "NAME"), "at": "TIME"}
WORD_OF_TYPE: dict[Any, str] = {str: "TEXT", int: "NUMBER", float: "NUMBER", Path: "FILE", date: "DATE"}


class PlainCommand(TyperCommand):
    """A command whose values are read at once and whose help speaks in words."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """As Click does it; an error in the words themselves is of this command too, which Click leaves out."""
        try:
            return super().parse_args(ctx, args)
        except Exception as error:
            if getattr(error, "ctx", ctx) is None:
                error.ctx = ctx  # type: ignore[attr-defined]
            raise

    def get_params(self, ctx: Any) -> list[Any]:
        return _in_words(super().get_params(ctx), self.callback)

    def format_help_text(self, ctx: Any, formatter: Any) -> None:
        _write_help(self.help, formatter)

    def collect_usage_pieces(self, ctx: Any) -> list[str]:
        arguments = [p for p in self.get_params(ctx) if p.param_type_name == "argument"]
        return [self.options_metavar or "", *map(_in_usage, arguments)]

    def format_options(self, ctx: Any, formatter: Any) -> None:
        _write_parameters(self.get_params(ctx), ctx, formatter)


class PlainGroup(TyperGroup):
    """A group of commands; its own options are read and shown as a command's are."""

    def get_params(self, ctx: Any) -> list[Any]:
        return _in_words(super().get_params(ctx), self.callback)

    def format_help_text(self, ctx: Any, formatter: Any) -> None:
        _write_help(self.help, formatter)

    def format_options(self, ctx: Any, formatter: Any) -> None:
        _write_parameters(self.get_params(ctx), ctx, formatter)
        self.format_commands(ctx, formatter)


def paragraphs(text: str | None) -> Iterator[str]:
    """The paragraphs of a help text; one that begins with the program's name holds examples, a line each."""
    yield from (part.strip() for part in cleandoc(text or "").split("\n\n") if part.strip())


def _write_help(text: str | None, formatter: Any) -> None:
    for part in paragraphs(text):
        formatter.write_paragraph()
        with formatter.indentation():
            if part.startswith(EXAMPLE):
                formatter.write(
                    "".join(f"{'':{formatter.current_indent}}{line}\n" for line in part.splitlines())
                )
            else:
                formatter.write_text(" ".join(part.split()))


def _in_words(parameters: list[Any], callback: Any) -> list[Any]:
    read_quickly(parameters, callback)
    offer_names(parameters, callback)
    declared = getattr(callback, "__annotations__", {})
    for parameter in parameters:
        if parameter.metavar is None and parameter.name in declared:
            parameter.metavar = _word_for(parameter, declared_type(declared[parameter.name])[0])
    return parameters


def _word_for(parameter: Any, kind: Any) -> str | None:
    if parameter.param_type_name == "argument":
        return str(parameter.name).replace("_", " ").upper()
    if parameter.is_flag:
        return None
    if isinstance(kind, type) and issubclass(kind, StrEnum):
        choices = "|".join(kind)
        return choices if len(choices) <= LONGEST_CHOICES else "WORD"
    return WORDS_FOR.get(parameter.name, WORD_OF_TYPE.get(kind)) if kind is str else WORD_OF_TYPE.get(kind)


def _in_usage(argument: Any) -> str:
    """NAME, [NAME], NAME... or [NAME...], as the argument has to be given."""
    word = argument.metavar
    if argument.nargs != 1 and not word.endswith("]"):  # NAME [WHERE] says itself that more may follow
        word += "..."
    return word if argument.required else f"[{word}]"


def _write_parameters(parameters: list[Any], context: Any, formatter: Any) -> None:
    rows: dict[str, list[tuple[str, str]]] = {"argument": [], "option": []}
    for parameter in parameters:
        record = parameter.get_help_record(context)
        if record is not None:
            is_argument = parameter.param_type_name == "argument"
            first = parameter.metavar if is_argument and parameter.metavar else record[0]
            rows[parameter.param_type_name].append((first, _range_in_words(record[1])))
    for kind, heading in (("argument", "Arguments"), ("option", "Options")):
        if rows[kind]:
            with formatter.section(heading):
                formatter.write_dl(rows[kind])


def _range_in_words(text: str) -> str:
    """The help of an option with what its number may be in words."""
    text = re.sub(rf"({_NUMBER})<=x<=({_NUMBER})", r"\1 to \2", text)
    text = re.sub(rf"\bx>=({_NUMBER})", r"at least \1", text)
    return re.sub(rf"\bx<=({_NUMBER})", r"at most \1", text)
