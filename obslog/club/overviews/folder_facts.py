"""What a folder of all pages shows, from one look at the records: what is computed once serves every page."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from obslog.club.annual.report import period_of
from obslog.club.overviews.club_facts import ClubFacts, club_facts
from obslog.club.overviews.member_facts import MemberFacts, member_facts
from obslog.club.overviews.store_facts import StoreFacts, store_facts
from obslog.club.pages.basis import Basis, Rows, some
from obslog.club.pages.mount_facts import MountFacts, mount_facts_of
from obslog.club.pages.night_facts import NightFacts, night_facts
from obslog.club.performance.mount_fits import MountFits
from obslog.club.performance.snapshot import Snapshot
from obslog.club.register.club_day import day_in
from obslog.club.shelves.committee import StocktakeFacts, facts_in
from obslog.club.shelves.counting import NoStocktake
from obslog.club.shelves.standing import stocktake_of
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Member, Night, Site


@dataclass(frozen=True, slots=True, kw_only=True)
class FolderFacts:
    """Every mount, the newest nights, the store-room, the last stocktake, the club; members only where asked for."""

    day: date
    mounts: Sequence[MountFacts]
    nights: Sequence[NightFacts]
    store: StoreFacts
    stocktake: StocktakeFacts | None
    club: ClubFacts
    members: Sequence[MemberFacts]
    basis: Basis


def folder_facts(
    database: Database, now: datetime, *, most_nights: int, with_members: bool, with_names: bool
) -> FolderFacts:
    """All that the pages of a folder show; borrowers are named only `with_names`."""
    with database.one_look() as look, look.read() as session:
        fits, today = MountFits(Snapshot(session)), day_in(session, now)
        fits.read_ahead()
        mounts = [mount_facts_of(session, fits, mount.name, today) for mount in fits.snapshot.mounts.values()]
        nights = [night_facts(look, night, site, now) for night, site in _newest(session, most_nights)]
        members = session.scalars(select(Member.name).order_by(Member.name_key)).all() if with_members else []
        return FolderFacts(
            day=today,
            mounts=mounts,
            nights=nights,
            store=store_facts(look, now, with_names=with_names),
            stocktake=_stocktake(session, today, with_names=with_names),
            club=club_facts(look, period_of(None, None, today, now), now, with_names=with_names),
            members=[member_facts(look, name, now) for name in members],
            basis=_basis(session, today, len(mounts), len(nights)),
        )


def _stocktake(session: Session, today: date, *, with_names: bool) -> StocktakeFacts | None:
    """The stocktake that is open, else the last that was finished; None where the shelves were never counted."""
    try:
        stocktake = stocktake_of(session)
    except NoStocktake:
        return None
    return facts_in(session, stocktake, today, with_names=with_names)


def _newest(session: Session, most: int) -> Sequence[tuple[date, str]]:
    query = (
        select(Night.night_of, Site.name)
        .join(Site, Night.site_id == Site.id)
        .order_by(Night.night_of.desc(), Site.name_key)
        .limit(most)
    )
    return [(night, site) for night, site in session.execute(query)]


def _basis(session: Session, today: date, mounts: int, nights: int) -> Basis:
    all_nights = session.scalar(select(func.count(Night.id))) or 0
    return Basis(
        day=today,
        used=some([Rows(count=mounts, kind="mount"), Rows(count=nights, kind="night")]),
        left_out=some(
            [Rows(count=all_nights - nights, kind="night", why="older than the newest that have a page")]
        ),
    )
