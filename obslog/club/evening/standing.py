"""What stands open: the night, the set-up, and the number that the next arrival will have."""

from dataclasses import dataclass, replace
from datetime import date
from uuid import UUID
from zoneinfo import ZoneInfo

from sqlalchemy import column, func, select, table
from sqlalchemy.orm import Session

from obslog.club.night.open_night import open_setup
from obslog.club.register.observing_site import ObservingSite, view_from, zone_or_none
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Arrival, Eyepiece, Member, Mount, Night, Setup, Site, Tube
from obslog.vocabulary.mounts import MountType, PierSide

# By name, for its own class loads half the store-room.
_STOCKTAKES = table("stocktakes", column("id"), column("finished_on"))


@dataclass(frozen=True, slots=True, kw_only=True)
class EveningStanding:
    """What lines are about now. Without an open night `site` is the one used last; without a set-up `last_mount` is.

    `next_number` is that of the next arrival, `pier` the side to which the tube was last said to be turned, `last_pier`
    that of the last arrival.
    `several` are the mounts whose set-ups are open where it is not known which is meant, be it only one: that of
    another mount than the one that lines were about here.
    """

    site: str | None = None
    zone: ZoneInfo | None = None
    view: ObservingSite | None = None
    night: date | None = None
    mount: str | None = None
    mount_type: MountType | None = None
    last_mount: str | None = None
    setup: str | None = None
    tube: str | None = None
    eyepiece: str | None = None
    observer: str | None = None
    next_number: int | None = None
    pier: PierSide | None = None
    last_pier: PierSide | None = None
    several: tuple[str, ...] = ()
    stocktake: bool = False


def standing(database: Database, mount: str | None = None, site: str | None = None) -> EveningStanding:
    """What stands open; `mount` and `site` are whose set-up and night are meant.

    Where the mount's set-up was ended elsewhere, none is meant: a line for one mount must not go to another's.
    """
    with database.read() as session:
        found = _of_setup(session, mount, site)
        return replace(found, stocktake=True) if _stocktake_open(session) else found


def _stocktake_open(session: Session) -> bool:
    return (
        session.execute(select(_STOCKTAKES.c.id).where(_STOCKTAKES.c.finished_on.is_(None))).first()
        is not None
    )


def _of_setup(session: Session, mount: str | None, site: str | None) -> EveningStanding:
    several = _mounts_set_up(session)
    meant = mount if mount in several else None
    if meant is None and (len(several) > 1 or (several and mount is not None)):
        return _of_night(session, several, site)
    where = open_setup(session, meant)
    if where is None:
        return _of_night(session, (), site)
    setup = where.setup
    count = session.scalar(select(func.count(Arrival.id)).where(Arrival.setup_id == setup.id)) or 0
    return EveningStanding(
        site=where.site.name,
        zone=where.zone,
        view=view_from(where.site),
        night=where.night.night_of,
        mount=where.mount.name,
        mount_type=where.mount.mount_type,
        last_mount=where.mount.name,
        setup=str(setup.id),
        tube=_name(session, Tube, setup.tube_id),
        eyepiece=_name(session, Eyepiece, setup.eyepiece_id),
        observer=_name(session, Member, setup.member_id),
        next_number=count + 1,
        pier=setup.pier_side,
        last_pier=_last_pier(session, setup) if count else None,
    )


def _last_pier(session: Session, setup: Setup) -> PierSide | None:
    """The side of the pier at the last arrival that has one."""
    return session.scalar(
        select(Arrival.pier_side)
        .where(Arrival.setup_id == setup.id, Arrival.pier_side.is_not(None))
        .order_by(Arrival.at_utc.desc(), Arrival.id.desc())
        .limit(1)
    )


def _mounts_set_up(session: Session) -> tuple[str, ...]:
    query = select(Mount.name).join(Setup, Setup.mount_id == Mount.id).where(Setup.open).order_by(Mount.name)
    return tuple(session.scalars(query))


def _of_night(session: Session, several: tuple[str, ...], meant: str | None) -> EveningStanding:
    """Without a set-up: the open night and its site, else the site used last, else the only one."""
    night, site = _open_night(session, meant)
    if site is None:
        newest = select(Site).join(Night, Night.site_id == Site.id).order_by(Night.night_of.desc()).limit(1)
        site = session.scalar(newest)
    if site is None:
        sites = list(session.scalars(select(Site).limit(2)))
        site = sites[0] if len(sites) == 1 else None
    last = select(Mount.name).join(Setup, Setup.mount_id == Mount.id).order_by(Setup.id.desc()).limit(1)
    return EveningStanding(
        site=site.name if site else None,
        zone=zone_or_none(site) if site else None,
        view=view_from(site) if site else None,
        night=night.night_of if night else None,
        last_mount=session.scalar(last),
        several=several,
    )


def _open_night(session: Session, meant: str | None) -> tuple[Night | None, Site | None]:
    """The open night; of several that of the site that is meant, else none."""
    query = select(Night, Site).join(Site, Night.site_id == Site.id).where(Night.open)
    found = [(night, site) for night, site in session.execute(query)]
    if len(found) > 1:
        found = [(night, site) for night, site in found if site.name == meant]
    return found[0] if len(found) == 1 else (None, None)


def _name(
    session: Session, table: type[Tube] | type[Eyepiece] | type[Member], key: UUID | None
) -> str | None:
    return session.scalar(select(table.name).where(table.id == key)) if key else None
