"""The club's own routine of the store-room: tasks of service, words for conditions, and the terms of loans."""

from sqlalchemy import CheckConstraint, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from obslog import fields
from obslog.records.tables.base import Base, known, of_field, strict, within
from obslog.vocabulary import Condition


class ClubTask(Base):
    """A task of the club's service routine. No row at all: the routine is the one that ships."""

    __tablename__ = "club_tasks"
    __table_args__ = strict(
        UniqueConstraint("task_of", "task"),
        within("place", 1, 1000),
        of_field("task_of", fields.TASK_OF),
        of_field("task", fields.TASK),
        of_field("what_to_do", fields.TASK_WORDS),
        of_field("every_months", fields.EVERY_MONTHS),
        of_field("every_nights", fields.EVERY_NIGHTS),
        of_field("due_when", fields.TASK_WORDS),
        of_field("caution", fields.TASK_WORDS),
        of_field("source", fields.TASK_WORDS),
        CheckConstraint(
            "(due_when IS NULL) = (coalesce(every_months, every_nights) IS NOT NULL)", name="every_or_when"
        ),
    )

    place: Mapped[int]
    task_of: Mapped[str]
    task: Mapped[str]
    what_to_do: Mapped[str]
    every_months: Mapped[int | None] = mapped_column(default=None)
    every_nights: Mapped[int | None] = mapped_column(default=None)
    due_when: Mapped[str | None] = mapped_column(default=None)
    caution: Mapped[str | None] = mapped_column(default=None)
    source: Mapped[str | None] = mapped_column(default=None)


class ConditionWord(Base):
    """A word of the club's for the condition of a part, and what it means. No row at all: the program's own words."""

    __tablename__ = "condition_words"
    __table_args__ = strict(
        UniqueConstraint("word"),
        within("place", 1, 1000),
        of_field("word", fields.CONDITION_WORD),
        known("means", Condition),
    )

    place: Mapped[int]
    word: Mapped[str]
    means: Mapped[Condition]


class LoanTerms(Base):
    """What a borrower agrees to beside what every loan form says, and how often a loan may be extended (None: freely).

    There is one row at most.
    """

    __tablename__ = "loan_terms"
    __table_args__ = strict(
        UniqueConstraint("place"),
        within("place", 1, 1),
        of_field("text", fields.LOAN_TERMS),
        of_field("renewals", fields.RENEWALS),
    )

    place: Mapped[int] = mapped_column(default=1)
    text: Mapped[str | None] = mapped_column(default=None)
    renewals: Mapped[int | None] = mapped_column(default=None)
