"""A line of an evening taken apart: `[time] VERB WORDS [; text] [!]`.

What the words mean is read by the verb's own reader; here a line is only cut where every verb's line is cut.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from obslog.errors import WrongInput, nearest_names

_TIME = re.compile(r"\d{1,2}[:.h]\d{2}(:\d{2})?([zZ]|UTC|utc)?|\d{3,4}")
_SURE = "!"


class UnknownVerb(WrongInput):
    """A line that begins with no verb, or with the beginning of several."""

    def __init__(self, typed: str, fitting: Sequence[str], verbs: Sequence[str]) -> None:
        if fitting:
            message, hint = f"{typed!r} may be {' or '.join(fitting)}.", "Type a letter more."
        else:
            message = f"No line begins with {typed!r}."
            near = nearest_names(typed, verbs)
            hint = f"Did you mean {' or '.join(near)}?" if near else f"Lines begin with: {', '.join(verbs)}."
        super().__init__(message, hint)


class EmptyLine(WrongInput):
    def __init__(self) -> None:
        super().__init__("The line is empty.", "Write it like: sync Vega 3E 2N")


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """Its time as typed, its whole verb, its words, the text behind the semicolon; sure where it ends in `!`."""

    verb: str
    words: tuple[str, ...] = ()
    at: str | None = None
    text: str | None = None
    sure: bool = False


def read_line(typed: str, verbs: Sequence[str]) -> Line:
    """The line taken apart; its verb may be written as any beginning that only one of the verbs has.

    Raises EmptyLine, UnknownVerb.
    """
    rest, semicolon, text = typed.strip().partition(";")
    rest, text = rest.strip(), text.strip()
    last = text if semicolon else rest
    sure = last.endswith(_SURE)
    if sure and semicolon:
        text = text[: -len(_SURE)].rstrip()
    elif sure:
        rest = rest[: -len(_SURE)].rstrip()
    words = rest.split()
    at = words.pop(0) if words and _TIME.fullmatch(words[0]) else None
    if not words:
        raise EmptyLine
    return Line(verb=read_verb(words[0], verbs), words=tuple(words[1:]), at=at, text=text or None, sure=sure)


def read_verb(typed: str, verbs: Sequence[str]) -> str:
    """The verb that is written, or that alone begins so, in any case. Raises UnknownVerb.

    A verb that is itself the beginning of all the others that fit is meant: `ch` is check beside checklist.
    """
    begun = typed.casefold()
    if begun in verbs:
        return begun
    fitting = [verb for verb in verbs if verb.startswith(begun)]
    shortest = min(fitting, key=len, default=None)
    if shortest is None or not all(verb.startswith(shortest) for verb in fitting):
        raise UnknownVerb(typed, fitting, verbs)
    return shortest
