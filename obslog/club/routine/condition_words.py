"""The words for the condition of a part: the club's own, each with what it means to the program, or those that ship."""

from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.records.database import Database
from obslog.records.tables.base import name_key
from obslog.records.tables.officer import ConditionWord
from obslog.vocabulary.storeroom import Condition

MEANINGS = {
    "sound": Condition.GOOD,
    "worn": Condition.WORN,
    "broken": Condition.DAMAGED,
    "missing": Condition.MISSING,
}
"""What a word of the club's can mean, as its file says it."""
SAID = {means: word for word, means in MEANINGS.items()}
ALWAYS = (Condition.GOOD, Condition.MISSING)
"""What the program says itself: of parts that were all looked at, and of one that is lost on loan."""


@dataclass(frozen=True, slots=True)
class MeantWord:
    """A word for a condition, and what it means."""

    word: str
    means: Condition


@dataclass(frozen=True, slots=True)
class Judged:
    """A condition as it is put on record: what it means, and the word where that is the club's own."""

    means: Condition
    word: str | None = None

    @property
    def shown(self) -> str:
        return self.word or self.means.value


SHIPPED_WORDS = tuple(MeantWord(word.value, word) for word in Condition)


@dataclass(frozen=True, slots=True)
class ConditionWords:
    """The words in force, in their order."""

    words: tuple[MeantWord, ...] = SHIPPED_WORDS

    def judged(self, typed: str) -> Judged | None:
        """What a typed word means; None where it is no word of the club's."""
        key = name_key(typed)
        found = next((one for one in self.words if name_key(one.word) == key), None)
        return None if found is None else _judged(found)

    def for_(self, means: Condition) -> Judged:
        """How the club says it: by its first word of that meaning."""
        found = next((one for one in self.words if one.means is means), None)
        return Judged(means) if found is None else _judged(found)

    @property
    def listed(self) -> tuple[str, ...]:
        return tuple(one.word for one in self.words)


def _judged(one: MeantWord) -> Judged:
    return Judged(one.means, None if one.word == one.means.value else one.word)


def words_in_force(session: Session) -> ConditionWords:
    """The club's own words, or where it has none those that ship."""
    rows = session.scalars(select(ConditionWord).order_by(ConditionWord.place)).all()
    return ConditionWords(tuple(MeantWord(row.word, row.means) for row in rows) or SHIPPED_WORDS)


def read_words(database: Database) -> ConditionWords:
    """The words in force, in a session of their own."""
    with database.read() as session:
        return words_in_force(session)
