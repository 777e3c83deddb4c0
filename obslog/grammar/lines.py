"""A line of an evening taken apart: `[time] VERB WORDS [; text] [!]`.

What the words mean is read by the verb's own reader; here a line is only cut where every verb's line is cut.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from obslog.errors import WrongInput, nearest_names

# Patterns as texts: a quick verb needs none of them, for a shell has taken its line apart.
_TIME = r"\d{1,2}[:.h]\d{2}(:\d{2})?([zZ]|UTC|utc)?|\d{3,4}"
SURE = "!"
_QUOTED = r'"(?:[^"]|"")*"'
_WORD = rf"{_QUOTED}(?=[\s;!]|$)|;|[^\s;]+"


class UnknownVerb(WrongInput):
    """A line that begins with no verb, or with the beginning of several."""

    def __init__(self, typed: str, fitting: Sequence[str], verbs: Sequence[str]) -> None:
        self.typed = typed
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


Beginning = tuple[str, ...]


def read_line(
    typed: str, verbs: Sequence[str], also_said: Mapping[Beginning, Beginning] | None = None
) -> Line:
    """The line taken apart; its verb may be written as any beginning that only one of the verbs has.

    `also_said` are first words by which other first words are meant: one word or two, whole, in any case.
    What stands in double quotes is one word, or one text, without them; in it `""` is a quote. Raises EmptyLine,
    UnknownVerb.
    """
    words, text = _cut(typed.strip())
    sure = (text if text is not None else words[-1] if words else "").endswith(SURE)
    if sure and text is not None:
        text = text[: -len(SURE)].rstrip()
    elif sure:
        words = [*words[:-1], *([words[-1][: -len(SURE)]] if words[-1] != SURE else [])]
    words = [plain for plain in map(_unquoted, words) if plain.strip()]
    at = words.pop(0) if words and re.fullmatch(_TIME, words[0]) else None
    if not words:
        raise EmptyLine
    words = _as_said(words, also_said or {})
    text = _unquoted(text) if text else None
    return Line(verb=read_verb(words[0], verbs), words=tuple(words[1:]), at=at, text=text or None, sure=sure)


def _as_said(words: list[str], also_said: Mapping[Beginning, Beginning]) -> list[str]:
    for length in (2, 1):
        meant = also_said.get(tuple(word.casefold() for word in words[:length]))
        if meant is not None:
            return [*meant, *words[length:]]
    return words


def quoted_word(text: str) -> str:
    """A text as one word of a line, or as its text where that would be read otherwise."""
    return '"' + text.replace('"', '""') + '"'


def _cut(typed: str) -> tuple[list[str], str | None]:
    """The words of a line as they stand, and what is behind its first semicolon that is not quoted."""
    words: list[str] = []
    for found in re.finditer(_WORD, typed):
        if found[0] == ";":
            return words, typed[found.end() :].strip()
        words.append(found[0])
    return words, None


def _unquoted(word: str) -> str:
    if not re.fullmatch(_QUOTED, word):
        return word
    return word[1:-1].replace('""', '"')


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
