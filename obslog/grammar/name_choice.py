"""Which of the names on record a person means who types a part of one.

Capitals, accents and signs do not count. A name typed whole wins; else it may be any beginning of a name, and else of
its words, in their order: "ter fur" is Terraço dos Furtado. Where several fit, none is chosen.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from unicodedata import combining, normalize

from obslog.errors import WrongInput
from obslog.sky.names.spelling import folded

_MOST_LISTED = 6
_BETWEEN_WORDS = re.compile(r"[^\w'’]+")


class SeveralNamesFit(WrongInput):
    """The beginning of several names."""

    def __init__(self, typed: str, fitting: Sequence[str]) -> None:
        self.fitting = tuple(fitting)
        super().__init__(f"{typed!r} may be {_listed(fitting)}.", "Type more of it.")


def chosen_name(typed: str, names: Iterable[str]) -> str | None:
    """The one of the names that is meant; None where none fits. Raises SeveralNamesFit."""
    fitting = fitting_names(typed, names)
    if len(fitting) > 1:
        raise SeveralNamesFit(typed, fitting)
    return fitting[0] if fitting else None


def fitting_names(typed: str, names: Iterable[str]) -> list[str]:
    """The names that may be meant, in their order: those that fit best, so that a whole name stands alone."""
    known = list(dict.fromkeys(names))
    return next((found for found in _from_best(typed, known) if found), [])


def begins_a_word(typed: str, name: str) -> bool:
    """Whether the name, or any of its words on, begins as typed; nothing typed begins each."""
    return not typed.strip() or bool(fitting_names(typed, [name]))


def _from_best(typed: str, known: Sequence[str]) -> Iterator[list[str]]:
    spelled, plain, words = _spelled(typed), folded(typed), _words(typed)
    yield [name for name in known if _spelled(name) == spelled]
    if plain:
        yield [name for name in known if folded(name) == plain]
        yield [name for name in known if folded(name).startswith(plain)]
        yield [name for name in known if _begin_in_order(words, _words(name))]


def _spelled(name: str) -> str:
    """The name without its case and its spaces, but with its accents and signs."""
    return " ".join(normalize("NFKC", name).casefold().split())


def _words(name: str) -> list[str]:
    plain = "".join(c for c in normalize("NFKD", name) if not combining(c))
    return [word for word in map(folded, _BETWEEN_WORDS.split(plain)) if word]


def _begin_in_order(typed: Sequence[str], words: Iterable[str]) -> bool:
    """Whether each typed word begins a word of the name, one after the other; words may be left out between."""
    rest = iter(words)
    return all(any(word.startswith(begun) for word in rest) for begun in typed)


def _listed(names: Sequence[str]) -> str:
    shown = list(names[:_MOST_LISTED])
    if len(names) > _MOST_LISTED:
        shown.append(f"one of {len(names) - _MOST_LISTED} more")
    return f"{', '.join(shown[:-1])} or {shown[-1]}"
