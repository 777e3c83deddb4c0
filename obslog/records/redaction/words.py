"""Words by which a person is known, found in what was written and replaced."""

import re
from collections.abc import Mapping
from unicodedata import normalize

from obslog.records.tables.base import name_key
from obslog.records.tables.search_text import search_form

_ACCENTS = "\u0300-\u036f"  # Unicode's block of combining marks: a letter before one is another letter


class Words:
    """Words to be found as whole words, whatever their case and spacing, each with what takes its place.

    Letters with accents are found as one sign, as two, which is how a Mac writes the names of files, and without.
    """

    def __init__(self, replacements: Mapping[str, str]) -> None:
        self.texts = tuple(replacements)
        self.replacements = dict(replacements)
        self._patterns = [
            (re.compile(rf"(?<!\w){_spaced(form)}(?![\w{_ACCENTS}])", re.IGNORECASE), put)
            for word, put in sorted(replacements.items(), key=lambda pair: -len(pair[0]))
            for form in dict.fromkeys(_forms(word))
            if form
        ]

    def stand_in(self, text: str) -> bool:
        return any(pattern.search(text) for pattern, _ in self._patterns)

    def replaced(self, text: str) -> str:
        for pattern, put in self._patterns:
            text = pattern.sub(lambda _found, put=put: put, text)  # type: ignore[misc]
        return text


def _forms(word: str) -> tuple[str, ...]:
    as_typed, folded = normalize("NFC", word), name_key(word)
    return word, as_typed, folded, normalize("NFD", as_typed), normalize("NFD", folded), search_form(word)


def _spaced(form: str) -> str:
    return r"\s+".join(re.escape(part) for part in form.split())
