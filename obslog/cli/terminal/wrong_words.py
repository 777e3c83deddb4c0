"""What is wrong with the words of a command line, and what was likely meant: both said without the library's words."""

import re
from collections.abc import Iterator
from typing import Any

from obslog.cli.terminal.help_pages import EXAMPLE, paragraphs
from obslog.club.evening.verbs import VERBS
from obslog.errors import quoted
from obslog.grammar.typed_times import DayWord, begins_with_a_date
from obslog.offsets import is_offset_or_landing

_SHEET_ALONE = r"No such command '(.*\.(?:csv|xlsx|xlsm))'"
_NO_COMMAND = r"No such command "
_OTHER_WORD = r"No such command '([\w-]+)'"
_CHANGES = {"rename", "correct", "change", "update", "modify", "amend"}
_DELETES = {"delete", "remove", "del", "rm"}
_OUTSIDE_THE_PROMPT = {
    "battery": "checklist --tick power",
    "flip": "setup flip",
    "list": "setup show",
    "next": "pointing now",
    "not-seen": "saw OBJECT --not-seen",
    "note": "night note",
    "pier": "setup flip",
    "pole": "sky pole",
    "suspected": "saw OBJECT --suspected",
    "tick": "checklist --tick STEP",
    "when": "sky when",
    "where": "sky where",
}
MOST_GROUPS = 3
_TOO_MUCH = r"Got unexpected extra argument\(s\) \((.*)\)"
_WRONG_ARGUMENT = r"Invalid value for '[^-]"
_MISSING = r"(Missing \w+ '.*?')\.(?: Choose from:(.*))?"


def what_and_hint(message: str, context: Any, meant: str | None = None) -> tuple[str, str]:
    """What is wrong and what to do, for what Click says of a command line in the context of a command.

    `meant` is the command that its words are in another order, where no command was found in theirs.
    """
    see_help = f"See its help: {context.command_path if context else 'obslog'} --help"
    if context is None:
        return _in_plain_words(message), see_help
    sheet = re.match(_SHEET_ALONE, message, re.DOTALL | re.IGNORECASE)
    if sheet is not None and context.command_path.endswith(" import"):
        return _not_said_what_it_lists(sheet[1])
    if meant and re.match(_NO_COMMAND, message):
        return message.partition(" Did you mean")[0], f"Did you mean {meant}?"
    other = re.match(_OTHER_WORD, message)
    way = other and (
        _at_the_prompt(other[1], context)
        or _said_otherwise(other[1], context)
        or _in_a_group(other[1], context)
    )
    if way:
        return message.partition(" Did you mean")[0], way
    if too_much := re.fullmatch(_TOO_MUCH, message, re.DOTALL):
        guess = next(_guesses(too_much[1], context), "")
        return f"Not expected here: {too_much[1]}", f"Did you mean {meant}?" if meant else guess + see_help
    example = _example(context)
    as_shown = f"{see_help}, or do as in: {example}" if example else see_help
    if missing := re.fullmatch(_MISSING, message, re.DOTALL):
        choices = " ".join((missing[2] or "").split())
        return f"{missing[1]}: one of {choices}." if choices else f"{missing[1]}.", as_shown
    return _in_plain_words(message), as_shown if re.match(_WRONG_ARGUMENT, message) else see_help


def _not_said_what_it_lists(sheet: str) -> tuple[str, str]:
    return (
        f"It is not said what {sheet} lists.",
        f"Items: obslog import items {quoted(sheet)}; or in place of items: members, kits, services, loans, "
        "observations, arrivals",
    )


def _at_the_prompt(word: str, context: Any) -> str | None:
    """Of a verb that is typed in the dark: where it is one, and which command does as much."""
    if context.parent is not None or word not in VERBS:
        return None
    outside = _OUTSIDE_THE_PROMPT.get(word)
    return f"It is typed at the prompt of: obslog prompt{f'; outside of it: obslog {outside}' if outside else ''}"


def _in_a_group(word: str, context: Any) -> str | None:
    """Of the name of a command that was typed without that of its group: whole; where many groups have one, nothing."""
    if context.parent is not None:
        return None
    program = context.command
    found = [
        f"obslog {group} {word}"
        for group in program.list_commands(context)
        if word in getattr(program.get_command(context, group), "commands", ())
    ]
    return f"Did you mean {' or '.join(found)}?" if 0 < len(found) <= MOST_GROUPS else None


def _said_otherwise(word: str, context: Any) -> str | None:
    """What a group calls that which its word for would be: what is alike in letters, such as `same`, does harm."""
    known, path = context.command.list_commands(context), context.command_path
    if word in _CHANGES and "edit" in known:
        return f"To change what is on record: {path} edit NAME {'--rename NEW' if word == 'rename' else '--help'}"
    if word in _DELETES and "retire" in known:
        return f"To take it out of use: {path} retire NAME; to take back what was just typed: obslog undo"
    return None


def _guesses(typed: str, context: Any) -> Iterator[str]:
    """What words too many may have been meant for, the likeliest first."""
    options = {name for parameter in context.command.params for name in parameter.opts}
    if "--where" in options and is_offset_or_landing(typed):
        yield f"Is it where it stood? Then --where {quoted(typed)}. "
    if "--night" in options and (begins_with_a_date(typed) or typed in set(DayWord)):
        yield f"Is it a night? Then --night {quoted(typed)}. "
    if "--mount" in options:
        yield f"Is it a mount? Then --mount {quoted(typed)}. "
    scale = (context.params.get("sky") or [None])[-1] if "--sky" in options else None
    if scale and typed[:1].isdigit():
        yield f"Is it the reading of the sky? Then in quotes: --sky {quoted(f'{scale} {typed}')}. "
    last = _last_argument(context)
    if last:
        yield f"Is it one name? Then in quotes: {quoted(f'{last} {typed}')}. "
    if "--note" in options:
        yield f"Is it a note? Then --note {quoted(typed)}. "


def _last_argument(context: Any) -> str | None:
    """The text that stands before the words too many; None where a number or nothing does."""
    arguments = [p.name for p in context.command.params if p.param_type_name == "argument"]
    value = context.params.get(arguments[-1]) if arguments else None
    return value if isinstance(value, str) else None


def _example(context: Any) -> str | None:
    """The first line that the command's help gives to be typed after."""
    shown = (part for part in paragraphs(context.command.help) if part.startswith(EXAMPLE))
    return next((part.splitlines()[0] for part in shown), None)


def _in_plain_words(message: str) -> str:
    """What is wrong with an option, without the words of the library that found it."""
    message = re.sub(r", unable to parse string as an? \w+", "", message.replace("Value error, ", ""))
    return message.replace("Input should be", "it must be").replace("valid integer", "whole number")
