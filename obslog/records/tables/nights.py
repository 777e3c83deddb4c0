"""Nights, set-ups and arrivals: what was done under the sky, and where objects stood."""

import uuid
from datetime import date, datetime

from sqlalchemy import CheckConstraint, ForeignKey, Index, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from obslog import fields
from obslog.records.tables.base import Base, known, of_field, searchable, searched, strict, within
from obslog.vocabulary.arrivals import Landing, Role
from obslog.vocabulary.mounts import PierSide
from obslog.vocabulary.sky_scales import SkyScale


class Night(Base):
    """One evening to morning at a site, named by the local date of its evening."""

    __tablename__ = "nights"
    __table_args__ = strict(
        UniqueConstraint("site_id", "night_of"), Index(None, "night_of"), searchable("note")
    )

    site_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("sites.id"))
    night_of: Mapped[date]
    started_utc: Mapped[datetime | None] = mapped_column(default=None)
    ended_utc: Mapped[datetime | None] = mapped_column(default=None)
    open: Mapped[bool] = mapped_column(default=False)
    note: Mapped[str | None] = mapped_column(default=None)
    search_text: Mapped[str | None] = mapped_column(default=None)


class Attendance(Base):
    """Who was there on a night."""

    __tablename__ = "attendances"
    __table_args__ = strict(UniqueConstraint("night_id", "member_id"))

    night_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("nights.id"))
    member_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("members.id"))


class SkyReading(Base):
    """What the sky was like, as a number with the name of its scale."""

    __tablename__ = "sky_readings"
    __table_args__ = strict(
        Index(None, "night_id"),
        known("scale", SkyScale),
        within("value", -100, 1000),
        of_field("note", fields.NOTE),
    )

    night_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("nights.id"))
    scale: Mapped[SkyScale]
    value: Mapped[float]
    at_utc: Mapped[datetime | None] = mapped_column(default=None)
    note: Mapped[str | None] = mapped_column(default=None)


class Setup(Base):
    """One mount and tube aligned once: from unfolding the tripod until it is moved, reset or packed away.

    `pier_side` is the side of the pier that the tube was last said to have been turned to, at `pier_side_since_utc`;
    arrivals from then on get it where none is said of them.
    """

    __tablename__ = "setups"
    __table_args__ = strict(
        UniqueConstraint("night_id", "mount_id", "ordinal"),
        of_field("ordinal", fields.SETUP_ORDINAL),
        Index(None, "mount_id"),
        known("pier_side", PierSide),
        CheckConstraint("(pier_side IS NULL) = (pier_side_since_utc IS NULL)", name="flip_whole"),
        searchable("note"),
    )

    night_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("nights.id"))
    mount_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("mounts.id"))
    tube_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("tubes.id"), default=None)
    member_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("members.id"), default=None)
    eyepiece_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("eyepieces.id"), default=None)
    pier_side: Mapped[PierSide | None] = mapped_column(default=None)
    pier_side_since_utc: Mapped[datetime | None] = mapped_column(default=None)
    ordinal: Mapped[int] = mapped_column(default=1)
    started_utc: Mapped[datetime | None] = mapped_column(default=None)
    ended_utc: Mapped[datetime | None] = mapped_column(default=None)
    open: Mapped[bool] = mapped_column(default=False)
    note: Mapped[str | None] = mapped_column(default=None)
    search_text: Mapped[str | None] = mapped_column(default=None)


class Arrival(Base):
    """Where an object stood from the field centre when the mount had gone to it.

    The pair of offsets is known as a whole or not at all. The unique constraint makes a sheet that comes in twice, or
    from two laptops, one record.
    """

    __tablename__ = "arrivals"
    __table_args__ = strict(
        UniqueConstraint("setup_id", "at_utc", "role", "target"),
        known("role", Role),
        known("pier_side", PierSide),
        known("landing", Landing),
        of_field("target", fields.TARGET),
        of_field("ra_hours", fields.RA_HOURS),
        of_field("dec_deg", fields.DEC_DEG),
        of_field("offset_east_arcmin", fields.OFFSET_ARCMIN),
        of_field("offset_north_arcmin", fields.OFFSET_ARCMIN),
        of_field("field_arcmin", fields.FIELD_ARCMIN),
        of_field("centring_arcmin", fields.CENTRING_ARCMIN),
        CheckConstraint("(ra_hours IS NULL) = (dec_deg IS NULL)", name="place_whole"),
        CheckConstraint("(offset_east_arcmin IS NULL) = (offset_north_arcmin IS NULL)", name="offset_whole"),
        searched("arrivals"),
        searchable("note"),
    )

    setup_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("setups.id"))
    at_utc: Mapped[datetime]
    role: Mapped[Role]
    target: Mapped[str]
    member_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("members.id"), default=None)
    ra_hours: Mapped[float | None] = mapped_column(default=None)
    dec_deg: Mapped[float | None] = mapped_column(default=None)
    pier_side: Mapped[PierSide | None] = mapped_column(default=None)
    offset_east_arcmin: Mapped[float | None] = mapped_column(default=None)
    offset_north_arcmin: Mapped[float | None] = mapped_column(default=None)
    landing: Mapped[Landing | None] = mapped_column(default=None)
    field_arcmin: Mapped[float | None] = mapped_column(default=None)
    centring_arcmin: Mapped[float | None] = mapped_column(default=None)
    note: Mapped[str | None] = mapped_column(default=None)
    search_text: Mapped[str | None] = mapped_column(default=None)
    sheet_line: Mapped[int | None] = mapped_column(default=None)
