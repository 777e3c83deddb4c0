"""Arguments and options turned into values here and at once, for the quick verbs of the dark.

Typer hands every argument, even a text or one that was not given, to pydantic, whose import takes longer than all
the rest of a quick verb's own work; its public `parser=` goes the same way. So the commands here step in at Click's
own `process_value` and read texts, plain numbers, words of a list, file names, and what has a parser of ours. What
cannot be read so goes on to Typer, which says what is wrong with it. A release of Typer that no longer calls
`process_value` would be slower, and do the same.
"""

import re
from collections.abc import Callable, Sequence
from enum import StrEnum
from functools import partial
from pathlib import Path
from types import NoneType, UnionType
from typing import Any, get_args, get_origin

from obslog.errors import WrongInput, nearest_names

_PLAIN_NUMBER = {int: re.compile(r"[+-]?\d{1,15}"), float: re.compile(r"[+-]?\d{1,15}(\.\d{0,15})?")}


_MOST_LISTED = 6


class NotOneOfTheWords(WrongInput):
    """A word of a fixed list, mistyped: the nearest are named, or all where they are few."""

    def __init__(self, what: str, typed: str, words: Sequence[str], command: str) -> None:
        near = nearest_names(typed, words)
        if near:
            hint = f"Did you mean {' or '.join(near)}?"
        elif len(words) <= _MOST_LISTED:
            hint = f"Give one of: {', '.join(words)}."
        else:
            hint = f"See the words that it takes: {command} --help"
        super().__init__(f"{what} cannot be {typed!r}.", hint)


class _NotPlainError(Exception):
    """A value that Typer shall look at."""


def read_quickly(parameters: list[Any], callback: Callable[..., Any] | None) -> None:
    """Let each parameter of a command read its own values; `callback` is the function that declares them."""
    declared = getattr(callback, "__annotations__", {})
    for parameter in parameters:
        if "process_value" not in vars(parameter):
            kind, parser = declared_type(declared.get(parameter.name))
            parameter.process_value = partial(
                _processed, parameter, parameter.process_value, partial(_read, parameter, kind, parser)
            )


def declared_type(annotation: Any) -> tuple[Any, Callable[[str], Any] | None]:
    """The type of one value behind `Annotated`, `| None` and `list`, and the parser that it names."""
    kind, parser = annotation, None
    if hasattr(kind, "__metadata__"):
        parser = next((p for p in (getattr(m, "parser", None) for m in kind.__metadata__) if p), None)
        kind = kind.__origin__
    if get_origin(kind) is UnionType:
        kind = next(part for part in get_args(kind) if part is not NoneType)
    if get_origin(kind) is list:
        kind = get_args(kind)[0]
    return kind, parser


def _processed(
    parameter: Any,
    by_typer: Callable[[Any, Any], Any],
    read: Callable[[Any, Any], Any],
    context: Any,
    value: Any,
) -> Any:
    several = parameter.multiple or parameter.nargs == -1
    if value is None or value == ():
        if parameter.required:
            return by_typer(context, value)
        nothing: Any = [] if several else None
        return parameter.callback(context, parameter, nothing) if parameter.callback else nothing
    if parameter.callback is not None:
        return by_typer(context, value)
    try:
        return [read(context, one) for one in value] if several else read(context, value)
    except _NotPlainError:
        return by_typer(context, value)


def _read(parameter: Any, kind: Any, parser: Callable[[str], Any] | None, context: Any, value: Any) -> Any:
    if not isinstance(value, str) or isinstance(value, StrEnum):
        return value  # a default, or a flag
    if parser is not None:
        return parser(value)
    if kind is str:
        return value
    if kind is Path:
        return Path(value)
    if isinstance(kind, type) and issubclass(kind, StrEnum):
        return _word(parameter, kind, context, value)
    if kind in _PLAIN_NUMBER and _PLAIN_NUMBER[kind].fullmatch(value):
        number = kind(value)
        if (parameter.min is None or number >= parameter.min) and (
            parameter.max is None or number <= parameter.max
        ):
            return number
    raise _NotPlainError


def _word(parameter: Any, kind: type[StrEnum], context: Any, typed: str) -> StrEnum:
    """The word of the list, whatever its case, or the only one that begins so. Raises SeveralNamesFit."""
    for word in kind:
        if word.casefold() == typed.strip().casefold():
            return word
    from obslog.grammar.name_choice import chosen_name

    meant = chosen_name(typed, kind)
    if meant is not None:
        return kind(meant)
    option = parameter.param_type_name == "option"
    called = str(parameter.metavar or parameter.name).replace("_", " ").upper()  # as the help calls it
    what = max(parameter.opts, key=len) if option else called
    raise NotOneOfTheWords(what, typed, list(kind), context.command_path)
