"""The standard's kinds of filters, told by the words of a filter's own name and by nothing else."""

import re

_KINDS = (
    ("O-III", re.compile(r"\bO[ -]?III\b|\bO[ -]?3\b|\[O ?III\]", re.IGNORECASE)),
    ("H-beta", re.compile(r"\bH[ -]?(?:beta|β)\b", re.IGNORECASE)),
    ("H-alpha", re.compile(r"\bH[ -]?(?:alpha|α)\b", re.IGNORECASE)),
    ("solar", re.compile(r"\bsolar\b", re.IGNORECASE)),
    ("narrow band", re.compile(r"\bnarrow[ -]?band\b", re.IGNORECASE)),
    ("broad band", re.compile(r"\bbroad[ -]?band\b", re.IGNORECASE)),
    ("neutral", re.compile(r"\bneutral\b", re.IGNORECASE)),
    ("corrective", re.compile(r"\bcorrective\b", re.IGNORECASE)),
    ("color", re.compile(r"\bcolou?r\b|\bwratten\b", re.IGNORECASE)),
)


def filter_kind(name: str) -> str:
    """The kind that a filter's name says; `other` where it says none, for makers' names are no kinds."""
    return next((kind for kind, words in _KINDS if words.search(name)), "other")


def filter_words(model: str, kind: str, more: tuple[str, ...] = ()) -> str:
    """A filter in words: its name, with the kind and what else is told behind it where the name does not say them."""
    told = [*([kind] if kind not in ("other", filter_kind(model)) else []), *more]
    return f"{model} ({', '.join(told)})".strip() if told else model
