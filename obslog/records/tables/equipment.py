"""Equipment: one table of everything the club owns, with a table more for what each kind has of its own.

Loans, services and snags can so refer to a single key, whatever the kind of thing.
"""

import uuid
from datetime import date

from sqlalchemy import ForeignKey, Index, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from obslog import fields
from obslog.records.tables.base import Base, known, of_field, searchable, strict
from obslog.records.tables.keys import new_key
from obslog.vocabulary.mounts import Controller, MountType


class Equipment(Base):
    """Anything the club owns. The name is unique within its kind."""

    __tablename__ = "equipment"
    __table_args__ = strict(
        UniqueConstraint("kind", "name_key"),
        known("kind", ["mount", "tube", "eyepiece", "item"]),
        of_field("name", fields.NAME),
    )
    __mapper_args__ = {"polymorphic_on": "kind"}  # noqa: RUF012 - read by the mapper, never changed

    kind: Mapped[str] = mapped_column(init=False)
    name: Mapped[str]
    name_key: Mapped[str]
    note: Mapped[str | None] = mapped_column(default=None)
    retired_on: Mapped[date | None] = mapped_column(default=None)
    retired_why: Mapped[str | None] = mapped_column(default=None)


class Mount(Equipment):
    """A mount. Its type and controller may be unknown at first, when its name came in on a sheet."""

    __tablename__ = "mounts"
    __table_args__ = strict(known("mount_type", MountType), known("controller", Controller))
    __mapper_args__ = {"polymorphic_identity": "mount"}  # noqa: RUF012

    id: Mapped[uuid.UUID] = mapped_column(
        ForeignKey("equipment.id", ondelete="CASCADE"), primary_key=True, init=False, default_factory=new_key
    )
    mount_type: Mapped[MountType | None] = mapped_column(default=None)
    controller: Mapped[Controller | None] = mapped_column(default=None)
    refraction: Mapped[bool] = mapped_column(default=False)


class Tube(Equipment):
    __tablename__ = "tubes"
    __table_args__ = strict(
        of_field("aperture_mm", fields.APERTURE_MM), of_field("focal_mm", fields.TUBE_FOCAL_MM)
    )
    __mapper_args__ = {"polymorphic_identity": "tube"}  # noqa: RUF012

    id: Mapped[uuid.UUID] = mapped_column(
        ForeignKey("equipment.id", ondelete="CASCADE"), primary_key=True, init=False, default_factory=new_key
    )
    aperture_mm: Mapped[float | None] = mapped_column(default=None)
    focal_mm: Mapped[float | None] = mapped_column(default=None)


class Eyepiece(Equipment):
    __tablename__ = "eyepieces"
    __table_args__ = strict(
        of_field("focal_mm", fields.EYEPIECE_FOCAL_MM),
        of_field("field_deg", fields.APPARENT_FIELD_DEG),
        of_field("field_stop_mm", fields.FIELD_STOP_MM),
    )
    __mapper_args__ = {"polymorphic_identity": "eyepiece"}  # noqa: RUF012

    id: Mapped[uuid.UUID] = mapped_column(
        ForeignKey("equipment.id", ondelete="CASCADE"), primary_key=True, init=False, default_factory=new_key
    )
    focal_mm: Mapped[float | None] = mapped_column(default=None)
    field_deg: Mapped[float | None] = mapped_column(default=None)
    field_stop_mm: Mapped[float | None] = mapped_column(default=None)


class Item(Equipment):
    """Any other thing: finder, filter, battery, case, accessory."""

    __tablename__ = "items"
    __table_args__ = strict(of_field("sort", fields.CATEGORY))
    __mapper_args__ = {"polymorphic_identity": "item"}  # noqa: RUF012

    id: Mapped[uuid.UUID] = mapped_column(
        ForeignKey("equipment.id", ondelete="CASCADE"), primary_key=True, init=False, default_factory=new_key
    )
    sort: Mapped[str] = mapped_column(default="accessory")


class Service(Base):
    """Work done on a thing. A mechanical service restarts the mount's mechanical history."""

    __tablename__ = "services"
    __table_args__ = strict(
        of_field("text", fields.SERVICE), Index(None, "equipment_id", "done_on"), searchable("text")
    )

    equipment_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("equipment.id"))
    done_on: Mapped[date]
    text: Mapped[str]
    mechanical: Mapped[bool] = mapped_column(default=False)
    member_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("members.id"), default=None)
    search_text: Mapped[str | None] = mapped_column(default=None)
