"""Names that are likely two spellings of one: shown to a person, who decides. Nothing is joined by likeness alone."""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from itertools import combinations

from obslog.records.tables.search_text import search_form

LIKE_ENOUGH = 0.86
"""As a share of letters that two names have in common, in order; one wrong letter among eight is 0.875."""
_SIGNS = re.compile(r"[^\w\s]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class LikelySame:
    """Two names, and in what they differ."""

    name: str
    other: str
    differ: str


def likely_same(names: Sequence[str]) -> list[LikelySame]:
    """Every pair of names that may be one, in the order of the names.

    Accents, case, punctuation and the order of the words do not count; a letter or two may differ; a word may be
    shortened to its beginning. A single word is no shortening of a longer name, for first names are shared.
    """
    words = {name: _words(name) for name in names}
    return list(_pairs(names, words))


def _pairs(names: Sequence[str], words: dict[str, list[str]]) -> Iterator[LikelySame]:
    for name, other in combinations(names, 2):
        differ = _differ(words[name], words[other])
        if differ is not None:
            yield LikelySame(name=name, other=other, differ=differ)


def _differ(one: list[str], another: list[str]) -> str | None:
    if not one or not another:
        return None
    if sorted(one) == sorted(another):
        return "accents, punctuation, spaces or the order of the words"
    if "".join(one) == "".join(another):
        return "accents, punctuation, spaces or the order of the words"
    if len(one) == len(another) > 1 and _shortened(zip(one, another, strict=True)):
        return "one is shortened"
    if _like(" ".join(sorted(one)), " ".join(sorted(another))):
        return "a letter or two"
    return None


def _shortened(pairs: Iterable[tuple[str, str]]) -> bool:
    """Whether each word begins with its partner, and one of them at least is whole."""
    pairs = list(pairs)
    return all(a.startswith(b) or b.startswith(a) for a, b in pairs) and any(
        a == b and len(a) > 1 for a, b in pairs
    )


def _like(one: str, another: str) -> bool:
    matcher = SequenceMatcher(None, one, another, autojunk=False)
    quick = matcher.real_quick_ratio() >= LIKE_ENOUGH and matcher.quick_ratio() >= LIKE_ENOUGH
    return quick and matcher.ratio() >= LIKE_ENOUGH


def _words(name: str) -> list[str]:
    return _SIGNS.sub(" ", search_form(name)).split()
