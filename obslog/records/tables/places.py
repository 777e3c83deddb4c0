"""Sites and members: where one observes from, and who."""

from datetime import date

from sqlalchemy import UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from obslog import fields
from obslog.records.tables.base import Base, of_field, strict


class Site(Base):
    """A place one observes from. Its place and zone may be unknown at first, when its name came in on a sheet.

    The horizon is what stands around it, as `obslog/horizon.py` writes it; unknown where nobody measured it. Where a
    `private` site lies exactly stays on the machines that know it.
    """

    __tablename__ = "sites"
    __table_args__ = strict(
        UniqueConstraint("name_key"),
        of_field("name", fields.NAME),
        of_field("lat_deg", fields.LATITUDE_DEG),
        of_field("lon_deg", fields.LONGITUDE_DEG),
        of_field("elevation_m", fields.ELEVATION_M),
        of_field("horizon", fields.HORIZON),
    )

    name: Mapped[str]
    name_key: Mapped[str]
    lat_deg: Mapped[float | None] = mapped_column(default=None)
    lon_deg: Mapped[float | None] = mapped_column(default=None)
    elevation_m: Mapped[float | None] = mapped_column(default=None)
    zone: Mapped[str | None] = mapped_column(default=None)
    horizon: Mapped[str | None] = mapped_column(default=None)
    private: Mapped[bool | None] = mapped_column(default=None)
    note: Mapped[str | None] = mapped_column(default=None)
    retired_on: Mapped[date | None] = mapped_column(default=None)
    retired_why: Mapped[str | None] = mapped_column(default=None)


class Member(Base):
    """A person of the club; observer, borrower and officer are roles of members."""

    __tablename__ = "members"
    __table_args__ = strict(UniqueConstraint("name_key"), of_field("name", fields.NAME))

    name: Mapped[str]
    name_key: Mapped[str]
    note: Mapped[str | None] = mapped_column(default=None)
    retired_on: Mapped[date | None] = mapped_column(default=None)
    retired_why: Mapped[str | None] = mapped_column(default=None)
