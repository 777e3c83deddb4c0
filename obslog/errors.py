"""What can go wrong, in sentences: one base error, one class per failure.

Each class builds its own sentence (what, which record, what was expected) and its hint (what to do). Exit code 2
means that the input was wrong, 1 that it could not be done. Only the command line turns them into output.
"""

import re
import shlex
import sys
from collections.abc import Iterable, Sequence
from contextlib import suppress
from difflib import get_close_matches
from pathlib import Path


class ObslogError(Exception):
    """Something a person can act on: `message` says what was wrong, `hint` what to do."""

    exit_code = 1

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint


class WrongInput(ObslogError):
    """What was typed cannot be meant."""

    exit_code = 2


class OutOfRange(WrongInput):
    def __init__(self, what: str, value: object, low: float, high: float, unit: str = "") -> None:
        unit_text = f" {unit}" if unit else ""
        super().__init__(
            f"{what} {_as_typed(value)} is not between {low:g} and {high:g}{unit_text}.",
            f"Give {_inside_a_sentence(what)} as a number from {low:g} to {high:g}{unit_text}.",
        )


def _as_typed(value: object) -> str:
    """A whole number without the `.0` that nobody typed; every other value with all its digits."""
    whole = isinstance(value, float) and value.is_integer() and abs(value) < 1e15
    return f"{value:.0f}" if whole else f"{value}"


class NotANumber(WrongInput):
    def __init__(self, what: str, text: str, example: str) -> None:
        super().__init__(f"{what} {text!r} cannot be read.", f"Write it like {example}.")


class UnknownZone(WrongInput):
    def __init__(self, text: str, known: Iterable[str]) -> None:
        cities = {zone.rpartition("/")[2].casefold(): zone for zone in known}
        near = get_close_matches(text.rpartition("/")[2].casefold(), cities, n=3, cutoff=0.75)
        meant = f"Did you mean {' or '.join(cities[city] for city in near)}?"
        hint = meant if near else "Zones are named after a large city, like Europe/London."
        super().__init__(f"There is no time zone named {text!r}.", hint)


class UnknownName(WrongInput):
    """A name that is not on record; the hint gives the nearest ones, and how to add it or where all are listed.

    `see` is the sentence for a kind that has no list command of its own.
    """

    def __init__(
        self,
        kind: str,
        name: str,
        known: Sequence[str],
        how_to_add: str | None = None,
        *,
        see: str | None = None,
    ) -> None:
        self.kind, self.name = kind, name
        self.nearest = nearest_names(name, known)
        hint = f"Did you mean {' or '.join(self.nearest)}? " if self.nearest else ""
        if how_to_add:
            hint += f"{'To add a new one' if self.nearest else 'To add it'}: {how_to_add}"
        elif see or not hint:
            hint += see or f"See what is there: obslog {kind} list"
        super().__init__(f"There is no {kind} named {name!r}.", hint.strip())


class WholeNameNeeded(UnknownName):
    """A beginning of a name, where an act cannot be taken back lightly, or what it does would not be seen."""

    def __init__(self, kind: str, typed: str, meant: str) -> None:
        super().__init__(kind, typed, [meant])
        self.hint = f"A beginning is not enough for this. Type the whole name: {quoted(meant)}"


class NameTaken(WrongInput):
    def __init__(self, kind: str, name: str) -> None:
        super().__init__(
            f"Another {kind} is named {name!r} already.",
            f"Choose another name, or see it: obslog {kind} show {quoted(name)}",
        )


class NothingToChange(WrongInput):
    def __init__(self, what: str) -> None:
        super().__init__(
            f"Nothing was given to change about {what}.", "Give at least one option; see --help."
        )


def _inside_a_sentence(words: str) -> str:
    """The words with a small first letter, but where a capital one follows it: UTC stays UTC."""
    return words if words[1:2].isupper() else words[:1].lower() + words[1:]


def nearest_names(name: str, known: Sequence[str], most: int = 3) -> list[str]:
    """The known names that hold `name` as a word, then those that look most like it, best first, ignoring case."""
    by_fold = {k.casefold(): k for k in known}
    typed = name.casefold()
    holding = [k for k in by_fold if typed in k.split()]
    alike = get_close_matches(typed, list(by_fold), n=most, cutoff=0.55)
    return [by_fold[k] for k in dict.fromkeys([*holding, *alike])][:most]


def why_not_read(error: Exception, path: Path) -> str:
    """What is wrong with a file that somebody named to be read, as a part of a sentence.

    A folder is told to be one on every system; Windows says of it that it may not be opened.
    """
    with suppress(OSError):
        if isinstance(error, OSError) and path.is_dir():
            return "it is a folder"
    return (getattr(error, "strerror", None) or str(error)).lower()


_PLAIN_WORD, _PLAIN_ON_WINDOWS = re.compile(r"[\w+=:./-]+"), re.compile(r"[\w+=:./\\-]+")
_READ_INSIDE_QUOTES, _READ_BY_POWERSHELL = re.compile(r'["$`!\\]'), re.compile(r'["$`“”„]')


def quoted(name: str, platform: str = sys.platform) -> str:
    """The name as one would type it in a shell: in double quotes where it needs any, which every shell takes.

    Characters that a shell reads even there stand in the quotes of POSIX shells, on Windows in those of PowerShell; cmd
    has no way for all of them. A backslash is a part of a path on Windows, where both shells leave it alone.
    """
    if platform == "win32":
        if _PLAIN_ON_WINDOWS.fullmatch(name):
            return name
        return _by_powershell(name) if _READ_BY_POWERSHELL.search(name) else f'"{name}"'
    if _PLAIN_WORD.fullmatch(name):
        return name
    return shlex.quote(name) if _READ_INSIDE_QUOTES.search(name) else f'"{name}"'


def _by_powershell(name: str) -> str:
    """Single quotes, in which PowerShell reads nothing. It takes curled ones for quotes too: each inside is doubled."""
    return "'" + re.sub("(['‘’‚‛])", r"\1\1", name) + "'"
