"""What the page of a member shows, from one look at the records: it is for that member alone."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.overviews.habits import Habits, habits_of
from obslog.club.overviews.months import MonthCount, by_month
from obslog.club.pages.basis import Basis, Rows, some
from obslog.club.performance.mount_fits import MountFits
from obslog.club.performance.snapshot import Snapshot
from obslog.club.register.club_day import day_in
from obslog.club.storeroom.loan_pages import LoanLine, list_loans
from obslog.club.targets.list_progress import Progress, progress_of
from obslog.club.targets.programmes import GOOD_ENTRY, WELL_KNOWN_LISTS
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Attendance, Member, Mount, Night, Observation, Setup, Site


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnNight:
    """A night on which the member was there, set something up or noted what was seen; the mounts that they set up."""

    night: date
    site: str
    mounts: Sequence[str]
    observations: int


@dataclass(frozen=True, slots=True, kw_only=True)
class MemberFacts:
    """A member's own record: lists begun, nights with the newest first, their months, habits and loans."""

    member: str
    day: date
    progress: Sequence[Progress]
    nights: Sequence[OwnNight]
    months: Sequence[MonthCount]
    habits: Habits
    loans: Sequence[LoanLine]
    basis: Basis


def member_facts(database: Database, name: str, now: datetime) -> MemberFacts:
    """What is on record of a member. Raises UnknownName."""
    with database.one_look() as look, look.read() as session:
        member, today = by_name(session, Member, name), day_in(session, now)
        nights = own_nights(session, member)
        days = [one.night for one in nights]
        habits = habits_of(session, member, MountFits(Snapshot(session)))
        progress = [progress_of(look, member.name, listed, GOOD_ENTRY, now) for listed in WELL_KNOWN_LISTS]
        loans = list_loans(look, today, member=member.name, with_back=True)
        return MemberFacts(
            member=member.name,
            day=today,
            progress=[one for one in progress if one.done or one.lacking],
            nights=nights,
            months=by_month(days, min(days), max(days)) if days else [],
            habits=habits,
            loans=loans,
            basis=_basis(today, nights, habits, loans),
        )


def own_nights(session: Session, member: Member) -> list[OwnNight]:
    """The nights that have anything of the member, the newest first."""
    there = select(Attendance.night_id).where(Attendance.member_id == member.id)
    set_up = select(Setup.night_id).where(Setup.member_id == member.id)
    seen = select(Observation.night_id).where(Observation.member_id == member.id)
    query = (
        select(Night.id, Night.night_of, Site.name)
        .join(Site, Night.site_id == Site.id)
        .where(Night.id.in_(there.union(set_up, seen)))
        .order_by(Night.night_of.desc(), Site.name_key)
    )
    mounts: dict[object, list[str]] = {}
    of_setups = (
        select(Setup.night_id, Mount.name)
        .join(Mount, Setup.mount_id == Mount.id)
        .where(Setup.member_id == member.id)
        .order_by(Mount.name_key)
    )
    for night, mount in session.execute(of_setups):
        mounts.setdefault(night, []).append(mount)
    observations: dict[object, int] = {}
    for night in session.scalars(seen):
        observations[night] = observations.get(night, 0) + 1
    return [
        OwnNight(
            night=night,
            site=site,
            mounts=list(dict.fromkeys(mounts.get(key, []))),
            observations=observations.get(key, 0),
        )
        for key, night, site in session.execute(query)
    ]


def _basis(today: date, nights: Sequence[OwnNight], habits: Habits, loans: Sequence[LoanLine]) -> Basis:
    landed = sum(one.own.count for one in habits.landing)
    return Basis(
        day=today,
        used=some(
            [
                Rows(count=len(nights), kind="night"),
                Rows(count=landed, kind="set-up"),
                Rows(count=sum(one.observations for one in nights), kind="observation"),
                Rows(count=len(loans), kind="loan"),
            ]
        ),
        left_out=some(
            [
                Rows(
                    count=habits.setups - landed,
                    kind="set-up",
                    why="without a word or a measure where something landed after the last sync",
                )
            ]
        ),
    )
