"""The set-ups and arrivals on record in order of mount and time: what landing errors and joint fits are computed from.

Arrivals are read as columns, not as records: a club has tens of thousands of them.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from datetime import date, datetime
from typing import Any, Self, cast
from uuid import UUID

import numpy as np
from numpy.typing import NDArray
from sqlalchemy import Row, select
from sqlalchemy.orm import Session

from obslog.records.lean_reading import bare, columns_of, key_texts
from obslog.records.tables.logbook_tables import Arrival, Equipment, Member, Night, Setup, Site
from obslog.sky.places.instants import naive_utc
from obslog.values import SetupId
from obslog.vocabulary.arrivals import Role

SetupRow = Row[Any]
Floats = NDArray[np.float64]
Instants = NDArray[np.datetime64]
Ints = NDArray[np.int64]
NOT_READ = -1
ARRIVAL_COLUMNS = (
    Arrival.setup_id, Arrival.id, Arrival.at_utc, Arrival.role, Arrival.target, Arrival.landing, Arrival.pier_side,
    Arrival.sheet_line, Arrival.offset_east_arcmin, Arrival.offset_north_arcmin, Arrival.field_arcmin,
    Arrival.ra_hours, Arrival.dec_deg, Arrival.centring_arcmin,
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class ArrivalColumns:
    """Arrivals (n,) in order of their set-ups, and of time in each; numbers are nan where they are not known.

    `setups` are all set-ups asked about, in order of mount and time, and `setup` the place of each arrival's in them.
    `keys` are the keys of the arrivals as text, `sheet_line` the lines of the sheets that they came from.
    """

    setups: Sequence[SetupRow]
    setup: Ints
    keys: Sequence[str]
    at_utc: Instants
    is_sync: NDArray[np.bool_]
    target: Sequence[str]
    landing: Sequence[str | None]
    pier_side: Sequence[str | None]
    sheet_line: Sequence[int | None]
    offset_east_arcmin: Floats
    offset_north_arcmin: Floats
    field_arcmin: Floats
    ra_hours: Floats
    dec_deg: Floats
    centring_arcmin: Floats

    def of_setup(self, name: str) -> list[Any]:
        """What the set-up of each arrival has in a column."""
        values = [getattr(row, name) for row in self.setups]
        return [values[place] for place in self.setup]

    def where(self, chosen: NDArray[np.bool_]) -> Self:
        """The chosen arrivals alone, of the same set-ups."""
        places = np.flatnonzero(chosen)
        changed: dict[str, Any] = {}
        for field in fields(self):
            values = getattr(self, field.name)
            if isinstance(values, np.ndarray):
                changed[field.name] = values[places]
            elif field.name != "setups":
                changed[field.name] = [values[place] for place in places.tolist()]
        return replace(self, **changed)


def setup_rows(
    session: Session, mount_id: UUID | None = None, nights: tuple[date, date] | None = None
) -> Sequence[SetupRow]:
    """The set-ups of one mount, or of all; of those nights alone, first and last, where they are given."""
    query = (
        select(
            Setup.id, Setup.mount_id, Setup.tube_id, Setup.night_id, Setup.ordinal, Night.night_of,
            Site.name.label("site"), Site.lat_deg, Site.lon_deg, Site.elevation_m,
            Equipment.name.label("mount"), Member.name.label("observer"),
        )
        .join(Night, Setup.night_id == Night.id)
        .join(Site, Night.site_id == Site.id)
        .join(Equipment, Setup.mount_id == Equipment.id)
        .outerjoin(Member, Setup.member_id == Member.id)
        .order_by(Equipment.name_key, Night.night_of, Site.name_key, Setup.ordinal)
    )  # fmt: skip
    if mount_id is not None:
        query = query.where(Setup.mount_id == mount_id)
    if nights is not None:
        query = query.where(Night.night_of.between(*nights))
    return cast(Sequence[SetupRow], session.execute(query).all())


def arrival_columns(
    session: Session, mount_id: UUID | None = None, nights: tuple[date, date] | None = None
) -> ArrivalColumns:
    """The arrivals of those set-ups, two statements however many there are."""
    setups = setup_rows(session, mount_id, nights)
    query = select(*map(bare, ARRIVAL_COLUMNS)).join(Setup, Arrival.setup_id == Setup.id)
    if mount_id is not None:
        query = query.where(Setup.mount_id == mount_id)
    if nights is not None:
        query = query.join(Night, Setup.night_id == Night.id).where(Night.night_of.between(*nights))
    of, keys, at, role, target, landing, pier_side, line, *measured = columns_of(session, query)
    place_of = {str(row.id): place for place, row in enumerate(setups)}
    place = np.array([place_of.get(key, NOT_READ) for key in key_texts(of)], dtype=np.int64)
    when, keys = instants(at), key_texts(keys)
    order = np.lexsort((np.array(keys, dtype="S36"), when, place))
    order = order[place[order] != NOT_READ]  # on a server a set-up may come between the two statements
    east, north, field, ra, dec, centring = (numbers(column)[order] for column in measured)
    keys, role, target, landing, pier_side, line = (
        [column[place] for place in order] for column in (keys, role, target, landing, pier_side, line)
    )
    return ArrivalColumns(
        setups=setups,
        setup=place[order],
        keys=keys,
        at_utc=when[order],
        is_sync=np.array([word == Role.SYNC for word in role], dtype=bool),
        target=target,
        landing=landing,
        pier_side=pier_side,
        sheet_line=line,
        offset_east_arcmin=east,
        offset_north_arcmin=north,
        field_arcmin=field,
        ra_hours=ra,
        dec_deg=dec,
        centring_arcmin=centring,
    )


def instants(values: Sequence[str | datetime]) -> Instants:
    """Instants of UTC in microseconds, (n,), from what either driver gives."""
    plain = [value[:-1] if isinstance(value, str) else naive_utc(value) for value in values]
    return np.array(plain, "datetime64[us]")


def numbers(values: Sequence[float | None]) -> Floats:
    """Numbers, (n,); nan where one is not known."""
    return np.array(values, float)


def setup_id(row: SetupRow) -> SetupId:
    """A set-up, as everything that was computed names it."""
    return SetupId(key=row.id, night=row.night_of, setup=row.ordinal, site=row.site, mount=row.mount)
