"""A command line in the order of a sentence, `end night`, or with `help` before it: what it says in the order here."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any


def meant_by_words(arguments: Sequence[str], commands: Mapping[str, Any]) -> str | None:
    """`obslog night end` for the words `end night`; None where no other order of them is a command.

    `commands` are the program's own by name, a group having `commands` itself.
    """
    first, second, *_ = (*_words(arguments), "", "")
    if first == "help":
        return f"obslog {second} --help" if second in commands else "obslog --help"
    for group in (second, second.removesuffix("s")):
        if group in commands and first in getattr(commands[group], "commands", ()):
            return f"obslog {group} {first}"
    return None


def _words(arguments: Sequence[str]) -> Iterator[str]:
    """The words that are no options, in small letters."""
    words = iter(arguments)
    for word in words:
        if word == "--db":
            next(words, None)
        elif not word.startswith("-"):
            yield word.casefold()
