"""The logbook beside the arrivals: snags, ticks, the club's own steps, observations, and the acts that made them."""

import uuid
from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, Index, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from obslog import fields
from obslog.records.tables.base import (
    Base,
    filled,
    known,
    of_field,
    searchable,
    searched,
    strict,
    within,
)
from obslog.records.tables.column_types import PlainText
from obslog.vocabulary.observations import FindingMethod, Sighting, Vision
from obslog.vocabulary.steps import StepKey

LONGEST_SENTENCE = 1000


class Snag(Base):
    """Something that went wrong, tied to a step of the checklist and to whom and what it concerned."""

    __tablename__ = "snags"
    __table_args__ = strict(
        of_field("step", fields.STEP),
        of_field("text", fields.SNAG),
        searchable("text", "remedy"),
        Index(None, "setup_id"),
        Index(None, "equipment_id"),
        Index(None, "member_id"),
        Index(None, "site_id"),
    )

    at_utc: Mapped[datetime]
    step: Mapped[StepKey] = mapped_column(PlainText())
    text: Mapped[str]
    setup_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("setups.id"), default=None)
    equipment_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("equipment.id"), default=None)
    member_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("members.id"), default=None)
    site_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("sites.id"), default=None)
    fixed_utc: Mapped[datetime | None] = mapped_column(default=None)
    remedy: Mapped[str | None] = mapped_column(default=None)
    search_text: Mapped[str | None] = mapped_column(default=None)


class Tick(Base):
    """A step of the checklist that somebody did: whether it went well, and the value that was read or set."""

    __tablename__ = "ticks"
    __table_args__ = strict(
        of_field("step", fields.STEP),
        of_field("value", fields.TICK_VALUE),
        Index(None, "mount_id", "at_utc"),
        Index(None, "setup_id"),
        Index(None, "member_id"),
        Index(None, "site_id"),
    )

    at_utc: Mapped[datetime]
    step: Mapped[StepKey] = mapped_column(PlainText())
    went_well: Mapped[bool | None] = mapped_column(default=None)
    value: Mapped[str | None] = mapped_column(default=None)
    setup_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("setups.id"), default=None)
    mount_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("mounts.id"), default=None)
    member_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("members.id"), default=None)
    site_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("sites.id"), default=None)


class ClubStep(Base):
    """A step of the club's checklist at its place; of a step that ships, the words are None where they stay as shipped.

    One that is `left_out` is on no checklist and keeps its words for what is on record. `mounts` are the types of
    mounts that have it, with a comma between them (None: all). No row at all: the checklist is the one that ships.
    """

    __tablename__ = "club_steps"
    __table_args__ = strict(
        UniqueConstraint("step"),
        within("place", 1, 1000),
        of_field("step", fields.STEP),
        of_field("title", fields.STEP_TITLE),
        of_field("tolerance", fields.STEP_TOLERANCE),
        of_field("what_to_do", fields.STEP_WORDS),
        of_field("why", fields.STEP_WORDS),
    )

    place: Mapped[int]
    step: Mapped[StepKey] = mapped_column(PlainText())
    left_out: Mapped[bool] = mapped_column(default=False)
    title: Mapped[str | None] = mapped_column(default=None)
    what_to_do: Mapped[str | None] = mapped_column(default=None)
    tolerance: Mapped[str | None] = mapped_column(default=None)
    why: Mapped[str | None] = mapped_column(default=None)
    mounts: Mapped[str | None] = mapped_column(PlainText(), default=None)
    about_the_mount: Mapped[bool] = mapped_column(default=False)


class Observation(Base):
    """An object somebody looked at, or looked for; each observer has an entry of their own.

    The rating runs from 1 to 5, the best. The altitude is the one at the time of the entry, to a tenth of a degree.
    `sketch` says where a drawing is: a file's name, a page.
    """

    __tablename__ = "observations"
    __table_args__ = strict(
        Index(None, "night_id"),
        of_field("target", fields.TARGET),
        known("sighting", Sighting),
        known("found_by", FindingMethod),
        known("vision", Vision),
        of_field("magnification", fields.MAGNIFICATION),
        of_field("filter", fields.FILTER),
        of_field("rating", fields.RATING),
        of_field("alt_deg", fields.ALTITUDE_DEG),
        of_field("sketch", fields.SKETCH),
        Index(None, "member_id"),
        searched("observations"),
        searchable("target", "filter", "sketch", "description"),
    )

    night_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("nights.id"))
    at_utc: Mapped[datetime]
    target: Mapped[str]
    sighting: Mapped[Sighting] = mapped_column(default=Sighting.SEEN)
    setup_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("setups.id"), default=None)
    member_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("members.id"), default=None)
    eyepiece_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("eyepieces.id"), default=None)
    found_by: Mapped[FindingMethod | None] = mapped_column(default=None)
    description: Mapped[str | None] = mapped_column(default=None)
    vision: Mapped[Vision | None] = mapped_column(default=None)
    magnification: Mapped[float | None] = mapped_column(default=None)
    filter: Mapped[str | None] = mapped_column(default=None)
    rating: Mapped[int | None] = mapped_column(default=None)
    alt_deg: Mapped[float | None] = mapped_column(default=None)
    sketch: Mapped[str | None] = mapped_column(default=None)
    search_text: Mapped[str | None] = mapped_column(default=None)


class Act(Base):
    """One thing a person did, in a sentence; what it changed hangs on it, so that it can be undone.

    Acts are never rewritten: taking one back is an act of its own, which `undoes_id` ties to the other. That an act is
    undone is told by `undone_utc` as well, so that nobody has to look for the other. The order of acts is that of their
    keys. `who` is whom the machine knew at the keyboard, as they typed it; `origin` is the machine.
    """

    __tablename__ = "acts"
    __table_args__ = strict(filled("sentence", LONGEST_SENTENCE), filled("who"), Index(None, "undoes_id"))

    at_utc: Mapped[datetime]
    sentence: Mapped[str]
    undone_utc: Mapped[datetime | None] = mapped_column(default=None)
    who: Mapped[str | None] = mapped_column(default=None)
    origin: Mapped[uuid.UUID | None] = mapped_column(default=None)
    undoes_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("acts.id"), default=None)
    extra: Mapped[str | None] = mapped_column(default=None)


class Change(Base):
    """One record that an act added, changed or removed, with its columns before and after as JSON.

    A removal stays for ever: it tells whoever knows the record still that it is gone. `withheld` are the columns that
    are told only roughly, since they are private where they were written; `extra` is what a newer program told beside.
    """

    __tablename__ = "changes"
    __table_args__ = strict(Index(None, "act_id"), Index(None, "record_id"))

    act_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("acts.id"))
    record_kind: Mapped[str]
    record_id: Mapped[uuid.UUID]
    before: Mapped[str | None] = mapped_column(default=None)
    after: Mapped[str | None] = mapped_column(default=None)
    withheld: Mapped[str | None] = mapped_column(default=None)
    extra: Mapped[str | None] = mapped_column(default=None)


class ChangeBatch(Base):
    """Many records of one kind that an act added or removed: their keys, sixteen bytes each, in order.

    `images` are the records that were removed, packed, in the order of their keys. Of those that were added nothing is
    kept but the keys: what a record was then is told by the first change after it, or by the record as it stands.
    """

    __tablename__ = "change_batches"
    __table_args__ = strict(
        known("what", ("added", "removed")),
        CheckConstraint("what <> 'removed' OR images IS NOT NULL", name="removed_kept"),
        CheckConstraint("records > 0", name="records_some"),
        Index(None, "act_id"),
        Index(None, "record_kind", "first_id"),
    )

    act_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("acts.id"))
    record_kind: Mapped[str]
    what: Mapped[str]
    first_id: Mapped[uuid.UUID]
    last_id: Mapped[uuid.UUID]
    records: Mapped[int]
    record_ids: Mapped[bytes]
    images: Mapped[bytes | None] = mapped_column(default=None)
    withheld: Mapped[str | None] = mapped_column(default=None)
    extra: Mapped[str | None] = mapped_column(default=None)


class SameRecord(Base):
    """Two records that are one: whatever comes to be known of the one that is gone belongs to the one that is kept."""

    __tablename__ = "same_records"
    __table_args__ = strict(CheckConstraint("gone_id <> kept_id", name="two_records"), Index(None, "gone_id"))

    record_kind: Mapped[str]
    gone_id: Mapped[uuid.UUID]
    kept_id: Mapped[uuid.UUID]
