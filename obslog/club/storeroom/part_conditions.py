"""Conditions of parts as they are typed: `Wide 25=damaged: a scratch on the eye lens`."""

from collections.abc import Mapping, Sequence

from obslog.club.register.typed_values import written
from obslog.errors import UnknownName, WrongInput
from obslog.records.tables.base import name_key
from obslog.vocabulary import Condition


class UnreadableCondition(WrongInput):
    def __init__(self, text: str) -> None:
        super().__init__(
            f"The condition {text!r} cannot be read.",
            f"Write it like 'Wide 25=good' or 'Wide 25=damaged: a scratch'; the words are {', '.join(Condition)}.",
        )


def read_conditions(texts: Sequence[str]) -> dict[str, tuple[Condition, str | None]]:
    """Part, condition and words of each text. Raises UnreadableCondition, UnusableText."""
    found = {}
    for text in texts:
        part, equals, told = text.rpartition("=") if ":" not in text else text.partition("=")
        word, colon, words = told.partition(":")
        if not equals or not part.strip() or word.strip().casefold() not in set(Condition):
            raise UnreadableCondition(text)
        note = written(words, "What is said of a part") if colon else None
        found[part.strip()] = (Condition(word.strip().casefold()), note)
    return found


Conditions = Mapping[str, tuple[Condition, str | None]]


def by_label(conditions: Conditions, labels: list[str]) -> dict[str, tuple[Condition | None, str | None]]:
    """The conditions under the labels as they are on record. Raises UnknownName."""
    known = {name_key(label): label for label in labels}
    for name in conditions:
        if name_key(name) not in known:
            raise no_such_part(name, labels)
    return {known[name_key(name)]: told for name, told in conditions.items()}


def no_such_part(name: str, labels: Sequence[str]) -> UnknownName:
    """For a name that no part of the loan has."""
    return UnknownName("part", name, labels, see="See the parts: obslog loan show")
