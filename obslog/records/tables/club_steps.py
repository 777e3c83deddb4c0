"""The club's own checklist: the steps in its order, its own words for them, and steps that it has added."""

from sqlalchemy import UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from obslog import fields
from obslog.records.tables.base import Base, of_field, strict, within
from obslog.vocabulary import StepKey


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
    step: Mapped[StepKey]
    left_out: Mapped[bool] = mapped_column(default=False)
    title: Mapped[str | None] = mapped_column(default=None)
    what_to_do: Mapped[str | None] = mapped_column(default=None)
    tolerance: Mapped[str | None] = mapped_column(default=None)
    why: Mapped[str | None] = mapped_column(default=None)
    mounts: Mapped[str | None] = mapped_column(default=None)
    about_the_mount: Mapped[bool] = mapped_column(default=False)
