"""What fills the officer's year: stocktakes, reminders and telephone calls, and the club's own routine."""

import uuid
from datetime import date, datetime

from sqlalchemy import CheckConstraint, ForeignKey, Index, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from obslog import fields
from obslog.records.tables.base import Base, filled, known, of_field, strict, within
from obslog.records.tables.column_types import PlainText
from obslog.records.tables.lending import one_while_open
from obslog.vocabulary.storeroom import Condition, Found, ReminderLevel


class Stocktake(Base):
    """A count of the shelves. How many things should have been there, and how many were not, it says once finished.

    One is open at a time.
    """

    __tablename__ = "stocktakes"
    __table_args__ = strict(
        CheckConstraint("finished_on >= started_on", name="finished_after_started"),
        within("expected", 0, 1_000_000),
        within("not_found", 0, 1_000_000),
        one_while_open("ix_stocktakes_open", closed_by="finished_on"),
    )

    started_on: Mapped[date]
    finished_on: Mapped[date | None] = mapped_column(default=None)
    member_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("members.id"), default=None)
    expected: Mapped[int | None] = mapped_column(default=None)
    not_found: Mapped[int | None] = mapped_column(default=None)


class StocktakeTick(Base):
    """An item that was seen in a stocktake, and where, if the one who counted said so."""

    __tablename__ = "stocktake_ticks"
    __table_args__ = strict(
        UniqueConstraint("stocktake_id", "equipment_id"),
        filled("found_place"),
        filled("note", 500),
    )

    stocktake_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("stocktakes.id", ondelete="CASCADE"))
    equipment_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("equipment.id", ondelete="CASCADE"))
    seen_utc: Mapped[datetime]
    found_place: Mapped[str | None] = mapped_column(default=None)
    note: Mapped[str | None] = mapped_column(default=None)


class NotOnRecord(Base):
    """What was seen in a stocktake and is not on record: as it was typed or scanned."""

    __tablename__ = "stocktake_unknowns"
    __table_args__ = strict(Index(None, "stocktake_id"), filled("text"), filled("found_place"))

    stocktake_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("stocktakes.id", ondelete="CASCADE"))
    text: Mapped[str]
    seen_utc: Mapped[datetime]
    found_place: Mapped[str | None] = mapped_column(default=None)


class NotFound(Base):
    """An item that a finished stocktake did not find. It stays when the item is found again."""

    __tablename__ = "stocktake_not_found"
    __table_args__ = strict(UniqueConstraint("stocktake_id", "equipment_id"))

    stocktake_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("stocktakes.id", ondelete="CASCADE"))
    equipment_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("equipment.id", ondelete="CASCADE"))


class StocktakePart(Base):
    """Whether a part of a kit that is only a label was there when somebody looked through its kit in a stocktake."""

    __tablename__ = "stocktake_parts"
    __table_args__ = strict(UniqueConstraint("stocktake_id", "kit_part_id"))

    stocktake_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("stocktakes.id", ondelete="CASCADE"))
    kit_part_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("kit_parts.id", ondelete="CASCADE"))
    seen_utc: Mapped[datetime]
    there: Mapped[bool]


class StocktakeLine(Base):
    """What a finished stocktake made of an item, or of a part of a kit that is only a label, and what was on record of
    it on that day: renamed, moved or valued anew since, it is here what it was."""

    __tablename__ = "stocktake_lines"
    __table_args__ = strict(
        CheckConstraint("(equipment_id IS NULL) <> (kit_part_id IS NULL)", name="item_or_part"),
        UniqueConstraint("stocktake_id", "equipment_id"),
        UniqueConstraint("stocktake_id", "kit_part_id"),
        known("found", Found),
        filled("status", 20),
        filled("name"),
        filled("kit"),
        of_field("value", fields.VALUE),
    )

    stocktake_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("stocktakes.id", ondelete="CASCADE"))
    found: Mapped[Found]
    status: Mapped[str]
    name: Mapped[str]
    equipment_id: Mapped[uuid.UUID | None] = mapped_column(
        ForeignKey("equipment.id", ondelete="CASCADE"), default=None
    )
    kit_part_id: Mapped[uuid.UUID | None] = mapped_column(
        ForeignKey("kit_parts.id", ondelete="CASCADE"), default=None
    )
    kit: Mapped[str | None] = mapped_column(default=None)
    tag: Mapped[str | None] = mapped_column(default=None)
    place: Mapped[str | None] = mapped_column(default=None)
    value: Mapped[float | None] = mapped_column(default=None)


class Reminder(Base):
    """A reminder that was written about a loan, or to one who waits; what it said is known by its hash alone.

    With a file's name it is none: it says that the officer was told of the loan, in the mail of that name.
    """

    __tablename__ = "reminders"
    __table_args__ = strict(
        CheckConstraint("(loan_id IS NULL) <> (reservation_id IS NULL)", name="loan_or_reservation"),
        known("level", ReminderLevel),
        filled("file_name", 400),
        filled("text_sha256", 64),
        Index(None, "loan_id"),
        Index(None, "reservation_id"),
    )

    made_on: Mapped[date]
    level: Mapped[ReminderLevel]
    loan_id: Mapped[uuid.UUID | None] = mapped_column(
        ForeignKey("loans.id", ondelete="CASCADE"), default=None
    )
    reservation_id: Mapped[uuid.UUID | None] = mapped_column(
        ForeignKey("reservations.id", ondelete="CASCADE"), default=None
    )
    file_name: Mapped[str | None] = mapped_column(default=None)
    text_sha256: Mapped[str | None] = mapped_column(default=None)


class Call(Base):
    """That a borrower was telephoned about a loan, and what was said."""

    __tablename__ = "calls"
    __table_args__ = strict(filled("note", 500), Index(None, "loan_id"))

    loan_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("loans.id", ondelete="CASCADE"))
    called_on: Mapped[date]
    note: Mapped[str | None] = mapped_column(default=None)


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
    task_of: Mapped[str] = mapped_column(PlainText())
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
