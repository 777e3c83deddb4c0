"""Arrivals read back as the rows of a sheet."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date

from sqlalchemy import Row, Select, select
from sqlalchemy.orm import Session, aliased

from obslog.exchange.arrivals_rows import COLUMNS
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Arrival, Equipment, Member, Mount, Night, Setup, Site
from obslog.times import utc_text


@dataclass(frozen=True, slots=True)
class SheetChoice:
    """Which arrivals: of a mount, of a site, of the nights from one date to another; all where nothing is said."""

    mount: str | None = None
    site: str | None = None
    first: date | None = None
    last: date | None = None


@contextmanager
def sheet_rows(database: Database, choice: SheetChoice) -> Iterator[Iterator[Mapping[str, object]]]:
    """The rows in order of night, site, mount, set-up and time, while the context is open."""
    with database.read() as session:
        yield arrival_rows(session, choice)


def arrival_rows(session: Session, choice: SheetChoice) -> Iterator[Mapping[str, object]]:
    """The same in a session that is open. Raises UnknownName."""
    return (_as_sheet(row) for row in session.execute(_query(session, choice)).yield_per(1000))


def _query(session: Session, choice: SheetChoice) -> Select[*tuple[object, ...]]:
    mount, tube = aliased(Equipment), aliased(Equipment)
    of_other_tables = {
        "night": Night.night_of,
        "setup": Setup.ordinal,
        "site": Site.name,
        "observer": Member.name,
        "mount": mount.name,
        "tube": tube.name,
        "utc": Arrival.at_utc,
    }
    columns = [
        (of_other_tables[name] if name in of_other_tables else getattr(Arrival, name)).label(name)
        for name in COLUMNS
    ]
    query = (
        select(*columns)
        .join(Setup, Arrival.setup_id == Setup.id)
        .join(Night, Setup.night_id == Night.id)
        .join(Site, Night.site_id == Site.id)
        .join(mount, Setup.mount_id == mount.id)
        .outerjoin(tube, Setup.tube_id == tube.id)
        .outerjoin(Member, Arrival.member_id == Member.id)
        .order_by(Night.night_of, Site.name_key, mount.name_key, Setup.ordinal, Arrival.at_utc, Arrival.id)
    )
    if choice.mount is not None:
        query = query.where(Setup.mount_id == by_name(session, Mount, choice.mount).id)
    if choice.site is not None:
        query = query.where(Night.site_id == by_name(session, Site, choice.site).id)
    if choice.first is not None:
        query = query.where(Night.night_of >= choice.first)
    if choice.last is not None:
        query = query.where(Night.night_of <= choice.last)
    return query


def _as_sheet(row: Row[*tuple[object, ...]]) -> Mapping[str, object]:
    values = dict(row._mapping)
    values["utc"] = utc_text(values["utc"])
    return values
