"""Lending: kits and their parts, loans with what went out and came back, renewals, absences, and who waits.

That an item is in one place at a time is kept by the database itself: unique indexes over what is out.
"""

import uuid
from datetime import date, datetime

from sqlalchemy import CheckConstraint, ForeignKey, Index, UniqueConstraint, text
from sqlalchemy.orm import Mapped, mapped_column

from obslog import fields
from obslog.records.tables.base import Base, filled, kit_or_thing, known, of_field, strict
from obslog.vocabulary.storeroom import Condition

WHERE = "only rows where"


def unique_while_open(*columns: str, closed_by: str) -> Index:
    """A unique index over those rows alone in which the column `closed_by` is not filled in yet.

    `schema.py` says so to PostgreSQL: naming it here would load its part of SQLAlchemy into every command.
    """
    still_open = text(f"{closed_by} IS NULL")
    return Index(None, *columns, unique=True, sqlite_where=still_open, info={WHERE: still_open})


def one_while_open(name: str, *, closed_by: str) -> Index:
    """A unique index by which one row alone may stand in which the column `closed_by` is not filled in yet."""
    still_open = text(f"{closed_by} IS NULL")
    return Index(
        name,
        text(f"({closed_by} IS NULL)"),
        unique=True,
        sqlite_where=still_open,
        info={WHERE: still_open},
    )


class Kit(Base):
    """Items lent together. `loan_days` is its own term; None takes the club's. `weight_kg` is of the whole kit."""

    __tablename__ = "kits"
    __table_args__ = strict(
        UniqueConstraint("name_key"),
        filled("name"),
        of_field("loan_days", fields.LOAN_TERM_DAYS),
        of_field("weight_kg", fields.KIT_WEIGHT_KG),
    )

    name: Mapped[str]
    name_key: Mapped[str]
    loan_days: Mapped[int | None] = mapped_column(default=None)
    weight_kg: Mapped[float | None] = mapped_column(default=None)
    note: Mapped[str | None] = mapped_column(default=None)
    retired_on: Mapped[date | None] = mapped_column(default=None)
    retired_why: Mapped[str | None] = mapped_column(default=None)


class KitPart(Base):
    """A part of a kit: an item on record, or only a label, such as a dust cap. An item is in one kit at a time.

    `missing_since` is of a label alone; since when an item is missing, its open absence says.
    """

    __tablename__ = "kit_parts"
    __table_args__ = strict(
        filled("label"),
        CheckConstraint("equipment_id IS NULL OR missing_since IS NULL", name="missing_label"),
        unique_while_open("equipment_id", closed_by="left_on"),
        unique_while_open("kit_id", "label", closed_by="left_on"),
    )

    kit_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("kits.id"))
    label: Mapped[str]
    joined_on: Mapped[date]
    equipment_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("equipment.id"), default=None)
    left_on: Mapped[date | None] = mapped_column(default=None)
    left_why: Mapped[str | None] = mapped_column(default=None)
    missing_since: Mapped[date | None] = mapped_column(default=None)


class Loan(Base):
    """A kit, or one item, in a member's hands. One that was handed over names the loan before it."""

    __tablename__ = "loans"
    __table_args__ = strict(
        kit_or_thing(),
        CheckConstraint("due_on >= out_on", name="due_after_out"),
        CheckConstraint("back_on >= out_on", name="back_after_out"),
        of_field("deposit", fields.DEPOSIT),
        unique_while_open("kit_id", closed_by="back_on"),
        unique_while_open("equipment_id", closed_by="back_on"),
        Index(None, "member_id"),
    )

    member_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("members.id"))
    out_on: Mapped[date]
    due_on: Mapped[date]
    kit_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("kits.id"), default=None)
    equipment_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("equipment.id"), default=None)
    back_on: Mapped[date | None] = mapped_column(default=None)
    handed_over_from_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("loans.id"), default=None)
    issued_by_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("members.id"), default=None)
    received_by_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("members.id"), default=None)
    terms_agreed: Mapped[bool | None] = mapped_column(default=None)
    trained: Mapped[bool | None] = mapped_column(default=None)
    deposit: Mapped[float | None] = mapped_column(default=None)
    deposit_returned: Mapped[bool | None] = mapped_column(default=None)
    note: Mapped[str | None] = mapped_column(default=None)


class LoanPart(Base):
    """One part of a loan: in what condition it went out and came back (None: nobody looked), and a fault reported.

    `word_out` and `word_in` are the club's own words for the two conditions; None where the program's own was used.
    """

    __tablename__ = "loan_parts"
    __table_args__ = strict(
        filled("label"),
        known("condition_out", Condition),
        known("condition_in", Condition),
        of_field("word_out", fields.CONDITION_WORD),
        of_field("word_in", fields.CONDITION_WORD),
        UniqueConstraint("loan_id", "label"),
        unique_while_open("equipment_id", closed_by="back_on"),
    )

    loan_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("loans.id"))
    label: Mapped[str]
    equipment_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("equipment.id"), default=None)
    kit_part_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("kit_parts.id"), default=None)
    condition_out: Mapped[Condition | None] = mapped_column(default=None)
    note_out: Mapped[str | None] = mapped_column(default=None)
    back_on: Mapped[date | None] = mapped_column(default=None)
    condition_in: Mapped[Condition | None] = mapped_column(default=None)
    note_in: Mapped[str | None] = mapped_column(default=None)
    fault: Mapped[str | None] = mapped_column(default=None)
    fault_on: Mapped[date | None] = mapped_column(default=None)
    word_out: Mapped[str | None] = mapped_column(default=None)
    word_in: Mapped[str | None] = mapped_column(default=None)


class Renewal(Base):
    """A loan's due date put off."""

    __tablename__ = "renewals"
    __table_args__ = strict(CheckConstraint("due_after > due_before", name="later"), Index(None, "loan_id"))

    loan_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("loans.id"))
    renewed_on: Mapped[date]
    due_before: Mapped[date]
    due_after: Mapped[date]


class Absence(Base):
    """From when to when an item was missing; kept when it is found, so that past days can be accounted for."""

    __tablename__ = "absences"
    __table_args__ = strict(
        CheckConstraint("found_on >= since", name="found_after_since"),
        unique_while_open("equipment_id", closed_by="found_on"),
    )

    equipment_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("equipment.id"))
    since: Mapped[date]
    found_on: Mapped[date | None] = mapped_column(default=None)


class Reservation(Base):
    """Somebody who waits for a kit or an item; the order is that of asking."""

    __tablename__ = "reservations"
    __table_args__ = strict(
        kit_or_thing(),
        unique_while_open("kit_id", "member_id", closed_by="closed_on"),
        unique_while_open("equipment_id", "member_id", closed_by="closed_on"),
    )

    member_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("members.id"))
    asked_utc: Mapped[datetime]
    kit_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("kits.id"), default=None)
    equipment_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("equipment.id"), default=None)
    closed_on: Mapped[date | None] = mapped_column(default=None)
    served: Mapped[bool | None] = mapped_column(default=None)
