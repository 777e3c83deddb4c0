"""The arrivals on record as rows, in order of mount and time: what landing errors and joint fits are computed from."""

from collections.abc import Sequence
from datetime import date
from typing import Any, cast
from uuid import UUID

from sqlalchemy import Row, select
from sqlalchemy.orm import Session

from obslog.records.tables.logbook_tables import Arrival, Equipment, Member, Night, Setup, Site
from obslog.values import SetupId

ArrivalRow = Row[Any]

LANDING_COLUMNS = (
    Setup.id.label("setup_id"), Setup.mount_id, Setup.night_id, Night.night_of, Setup.ordinal,
    Site.name.label("site"), Equipment.name.label("mount"), Member.name.label("observer"), Arrival.role,
    Arrival.offset_east_arcmin, Arrival.offset_north_arcmin, Arrival.landing, Arrival.field_arcmin,
)  # fmt: skip
PLACE_COLUMNS = (
    Setup.tube_id, Site.lat_deg, Site.lon_deg, Site.elevation_m, Arrival.id, Arrival.at_utc, Arrival.target,
    Arrival.ra_hours, Arrival.dec_deg, Arrival.pier_side, Arrival.centring_arcmin, Arrival.sheet_line,
)  # fmt: skip


def arrival_rows(
    session: Session,
    mount_id: UUID | None = None,
    nights: tuple[date, date] | None = None,
    *,
    with_places: bool = False,
) -> Sequence[ArrivalRow]:
    """The arrivals of one mount, or of all; of those nights alone, first and last, where they are given.

    `with_places` adds what a joint fit needs beside the landing: which star, when, from where.
    """
    query = (
        select(*LANDING_COLUMNS, *(PLACE_COLUMNS if with_places else ()))
        .join(Setup, Arrival.setup_id == Setup.id)
        .join(Night, Setup.night_id == Night.id)
        .join(Site, Night.site_id == Site.id)
        .join(Equipment, Setup.mount_id == Equipment.id)
        .outerjoin(Member, Setup.member_id == Member.id)
        .order_by(
            Equipment.name_key, Night.night_of, Site.name_key, Setup.ordinal, Arrival.at_utc, Arrival.id
        )
    )
    if mount_id is not None:
        query = query.where(Setup.mount_id == mount_id)
    if nights is not None:
        query = query.where(Night.night_of.between(*nights))
    return cast(Sequence[ArrivalRow], session.execute(query).all())


def setup_id(row: ArrivalRow) -> SetupId:
    """The set-up that an arrival belongs to."""
    return SetupId(key=row.setup_id, night=row.night_of, setup=row.ordinal, site=row.site, mount=row.mount)
