"""Conditions of parts as they are typed: `Wide 25=damaged: a scratch on the eye lens`."""

from collections.abc import Mapping, Sequence

from obslog.club.register.typed_values import written
from obslog.club.routine.condition_words import ConditionWords, Judged
from obslog.errors import UnknownName, WrongInput
from obslog.records.tables.base import name_key
from obslog.vocabulary.storeroom import Condition

SHIPPED = ConditionWords()


class UnreadableCondition(WrongInput):
    def __init__(self, text: str, words: ConditionWords) -> None:
        listed = words.listed
        super().__init__(
            f"The condition {text!r} cannot be read.",
            f"Write it like 'Wide 25={listed[0]}' or 'Wide 25={listed[-2]}: a scratch'; the words are "
            f"{', '.join(listed)}.",
        )


def read_conditions(
    texts: Sequence[str], words: ConditionWords = SHIPPED
) -> dict[str, tuple[str, str | None]]:
    """Part, word for its condition and what more is said, of each text. Raises UnreadableCondition, UnusableText."""
    found = {}
    for text in texts:
        part, equals, told = text.rpartition("=") if ":" not in text else text.partition("=")
        word, colon, said = told.partition(":")
        judged = words.judged(word)
        if not equals or not part.strip() or judged is None:
            raise UnreadableCondition(text, words)
        note = written(said, "What is said of a part") if colon else None
        found[part.strip()] = (judged.shown, note)
    return found


Conditions = Mapping[str, tuple[str, str | None]]
"""Of each part a word for its condition, the club's own or the program's, and what more is said."""


def by_label(
    conditions: Conditions, labels: list[str], words: ConditionWords
) -> dict[str, tuple[Judged, str | None]]:
    """The conditions under the labels as they are on record, and what they mean. Raises UnknownName."""
    known = {name_key(label): label for label in labels}
    for name in conditions:
        if name_key(name) not in known:
            raise no_such_part(name, labels)
    return {
        known[name_key(name)]: (words.judged(word) or Judged(Condition(word)), note)
        for name, (word, note) in conditions.items()
    }


def no_such_part(name: str, labels: Sequence[str]) -> UnknownName:
    """For a name that no part of the loan has."""
    return UnknownName("part", name, labels, see="See the parts: obslog loan show")
