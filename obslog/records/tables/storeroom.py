"""The store-room's papers: what is known of each item, photographs, services' bills and tasks, rules, contacts."""

import uuid
from datetime import date

from sqlalchemy import CheckConstraint, ForeignKey, Index, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from obslog import fields
from obslog.records.tables.base import Base, filled, kit_or_thing, known, of_field, strict, within
from obslog.vocabulary.storeroom import Acquired


class Paper(Base):
    """What the club knows of an item beside its name: tags, where it came from, what it is worth, where it is kept.

    `valued_on` and `valued_by` are of the value, and go with it.
    """

    __tablename__ = "papers"
    __table_args__ = strict(
        UniqueConstraint("equipment_id"),
        UniqueConstraint("tag"),
        known("acquired", Acquired),
        of_field("cost", fields.COST),
        of_field("value", fields.VALUE),
    )

    equipment_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("equipment.id", ondelete="CASCADE"))
    tag: Mapped[str | None] = mapped_column(default=None)
    serial: Mapped[str | None] = mapped_column(default=None)
    maker: Mapped[str | None] = mapped_column(default=None)
    model: Mapped[str | None] = mapped_column(default=None)
    acquired: Mapped[Acquired | None] = mapped_column(default=None)
    acquired_on: Mapped[date | None] = mapped_column(default=None)
    cost: Mapped[float | None] = mapped_column(default=None)
    value: Mapped[float | None] = mapped_column(default=None)
    place: Mapped[str | None] = mapped_column(default=None)
    written_off_on: Mapped[date | None] = mapped_column(default=None)
    valued_on: Mapped[date | None] = mapped_column(default=None)
    valued_by: Mapped[str | None] = mapped_column(default=None)


class Photograph(Base):
    """A photograph of an item: the file's name, and the SHA-256 by which it is known again."""

    __tablename__ = "photographs"
    __table_args__ = strict(UniqueConstraint("equipment_id", "sha256"), filled("file_name", 400))

    equipment_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("equipment.id", ondelete="CASCADE"))
    file_name: Mapped[str]
    sha256: Mapped[str]
    taken_on: Mapped[date | None] = mapped_column(default=None)


class Receipt(Base):
    """A receipt for an item: the file's name, its SHA-256, and the day that stands on it.

    One receipt may be for several items, and is then on record for each of them.
    """

    __tablename__ = "receipts"
    __table_args__ = strict(
        UniqueConstraint("equipment_id", "sha256"), filled("file_name", 400), filled("sha256", 64)
    )

    equipment_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("equipment.id", ondelete="CASCADE"))
    file_name: Mapped[str]
    sha256: Mapped[str]
    dated_on: Mapped[date | None] = mapped_column(default=None)


class Retirement(Base):
    """A time during which an item or kit was retired; written when it comes back, so that the past keeps it."""

    __tablename__ = "retirements"
    __table_args__ = strict(
        kit_or_thing(),
        CheckConstraint("back_on >= retired_on", name="back_after_retired"),
    )

    retired_on: Mapped[date]
    back_on: Mapped[date]
    equipment_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("equipment.id"), default=None)
    kit_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("kits.id"), default=None)
    retired_why: Mapped[str | None] = mapped_column(default=None)
    written_off_on: Mapped[date | None] = mapped_column(default=None)


class ServiceBill(Base):
    """What a service cost and used, and when the next is due: on a day, after nights of use, when something is so."""

    __tablename__ = "service_bills"
    __table_args__ = strict(
        UniqueConstraint("service_id"),
        of_field("cost", fields.COST),
        of_field("next_after_nights", fields.NEXT_AFTER_NIGHTS),
        filled("next_when", 500),
    )

    service_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("services.id", ondelete="CASCADE"))
    cost: Mapped[float | None] = mapped_column(default=None)
    parts: Mapped[str | None] = mapped_column(default=None)
    next_on: Mapped[date | None] = mapped_column(default=None)
    next_after_nights: Mapped[int | None] = mapped_column(default=None)
    next_when: Mapped[str | None] = mapped_column(default=None)


class ServiceTask(Base):
    """A task of the routine that a service did, by the routine's word for it."""

    __tablename__ = "service_tasks"
    __table_args__ = strict(UniqueConstraint("service_id", "task"), filled("task", 50))

    service_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("services.id", ondelete="CASCADE"))
    task: Mapped[str]


class MendedSnag(Base):
    """A snag that a service mended."""

    __tablename__ = "mended_snags"
    __table_args__ = strict(UniqueConstraint("service_id", "snag_id"))

    service_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("services.id", ondelete="CASCADE"))
    snag_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("snags.id"))


class BatteryTest(Base):
    """A battery's voltage at rest and under load, and the share of its capacity that is left."""

    __tablename__ = "battery_tests"
    __table_args__ = strict(
        Index(None, "equipment_id", "tested_on"),
        of_field("rest_volts", fields.REST_VOLTS),
        of_field("load_volts", fields.LOAD_VOLTS),
        of_field("capacity_percent", fields.CAPACITY_PERCENT),
    )

    equipment_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("equipment.id"))
    tested_on: Mapped[date]
    rest_volts: Mapped[float | None] = mapped_column(default=None)
    load_volts: Mapped[float | None] = mapped_column(default=None)
    capacity_percent: Mapped[float | None] = mapped_column(default=None)


class Contact(Base):
    """How a member is reached; shown to the officer alone."""

    __tablename__ = "contacts"
    __table_args__ = strict(UniqueConstraint("member_id"))

    member_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("members.id"))
    phone: Mapped[str | None] = mapped_column(default=None)
    email: Mapped[str | None] = mapped_column(default=None)
    address: Mapped[str | None] = mapped_column(default=None)


class ClubRule(Base):
    """A rule that the club has set itself: to a number, or to a word, such as its currency."""

    __tablename__ = "club_rules"
    __table_args__ = strict(
        UniqueConstraint("name"),
        within("value", 0, 100_000),
        CheckConstraint("(value IS NULL) <> (word IS NULL)", name="value_or_word"),
        filled("word"),
    )

    name: Mapped[str]
    value: Mapped[float | None] = mapped_column(default=None)
    word: Mapped[str | None] = mapped_column(default=None)
