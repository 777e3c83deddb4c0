"""Snags: what went wrong, at which step, on what, with whom and where; and what mended it."""

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog import fields
from obslog.club.night.open_night import NightChoice, Where, chosen_night, instant_in_night, open_setup
from obslog.club.register.observing_site import zone_or_utc
from obslog.club.register.usual_choices import Me, myself
from obslog.club.routine.club_steps import steps_in_force
from obslog.errors import ObslogError, WrongInput
from obslog.records.database import Database
from obslog.records.history.recorder import call_act
from obslog.records.name_lookup import by_name, key_of, key_of_member
from obslog.records.tables.keys import reference_of
from obslog.records.tables.logbook_tables import Equipment, Member, Mount, Night, Setup, Site, Snag
from obslog.times import night_bounds_utc
from obslog.vocabulary.steps import StepKey


class NoSuchSnag(ObslogError):
    def __init__(self, handle: str, found: int) -> None:
        why = "Several snags have" if found else "No snag has"
        super().__init__(f"{why} the reference {handle!r}.", "See the references: obslog snag list --all")


class SnagAboutNothing(WrongInput):
    def __init__(self) -> None:
        super().__init__(
            "No set-up is open, so the snag would concern nothing.",
            "Say what it is about: --mount MOUNT, --member NAME or --site SITE.",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class SnagLine:
    """A snag in a list; `reference` is the short end of its key, by which it can be named.

    `day` is by the clocks of its site; in universal time where it has none.
    """

    reference: str
    at_utc: datetime
    day: date
    step: StepKey
    text: str
    about: str | None
    member: str | None
    site: str | None
    fixed_utc: datetime | None
    remedy: str | None


def add_snag(
    database: Database,
    step: StepKey,
    text: str,
    now: datetime,
    *,
    mount: str | None = None,
    member: str | None = None,
    site: str | None = None,
    at: str | None = None,
    me: Me | None = None,
) -> SnagLine:
    """Note a snag: of the open set-up, or of what is named; `at` is a time of its night, or of the open night.

    Who is not told is the set-up's observer, else `me`, the person at this machine.
    Raises SnagAboutNothing, UnknownName, SeveralNamesFit, NobodyOfThatName, WhichOne, NoOpenNight, UnusableText, and
    what reading times raises.
    """
    text = fields.SNAG.checked(text)
    with database.write(now, f"note a snag at {step}") as session:
        step = steps_in_force(session).meant(step)
        call_act(session, f"note a snag at {step}")
        where = open_setup(session, mount)
        if where is None and mount is member is site is None:
            raise SnagAboutNothing
        at_utc = now
        if at is not None:
            in_night = (
                (where.night, where.site)
                if where
                else chosen_night(session, NightChoice(site), must_be_open=True)
            )
            at_utc = instant_in_night(at, *in_night, now)
        snag = note_snag(session, step, text, at_utc, where, mount=mount, member=member, site=site, me=me)
        return snag_lines(session, [snag.id])[0]


def note_snag(
    session: Session,
    step: StepKey,
    text: str,
    at_utc: datetime,
    where: Where | None,
    *,
    mount: str | None = None,
    member: str | None = None,
    site: str | None = None,
    me: Me | None = None,
) -> Snag:
    """Put a snag of a set-up, and of what is named, on record, within a transaction.

    Who is not told is the set-up's observer, else `me`, the person at this machine.
    Raises UnknownName, NobodyOfThatName, UnusableText.
    """
    member_id = key_of_member(session, member, where.setup.member_id if where else None)
    if member_id is None and me is not None:
        here = myself(session, me())
        member_id = here.id if here else None
    snag = Snag(
        at_utc=at_utc,
        step=step,
        text=fields.SNAG.checked(text),
        setup_id=where.setup.id if where else None,
        equipment_id=key_of(session, Mount, mount, where.mount.id if where else None),
        member_id=member_id,
        site_id=key_of(session, Site, site, where.site.id if where else None),
    )
    session.add(snag)
    session.flush()
    return snag


def fix_snag(database: Database, reference: str, remedy: str | None, now: datetime) -> SnagLine:
    """Say that a snag is mended, and how. Raises NoSuchSnag."""
    with database.write(now, f"mend the snag {reference}") as session:
        snag = snag_of(session, reference)
        snag.fixed_utc, snag.remedy = now, fields.REMEDY.checked_or_none(remedy)
        session.flush()
        return snag_lines(session, [snag.id])[0]


def snag_of(session: Session, reference: str) -> Snag:
    """The snag whose reference begins so, in capitals or not. Raises NoSuchSnag where it is none or several."""
    start = reference.strip().lower()
    keys = [key for key in session.scalars(select(Snag.id)) if start and reference_of(key).startswith(start)]
    if len(keys) != 1:
        raise NoSuchSnag(reference, len(keys))
    return session.get_one(Snag, keys[0])


def day_there(session: Session, snag: Snag) -> date:
    """The day of a snag by the clocks of its site; in universal time where it has none."""
    site = session.get(Site, snag.site_id) if snag.site_id else None
    return snag.at_utc.astimezone(zone_or_utc(site.zone if site else None)).date()


def list_snags(
    database: Database,
    *,
    mount: str | None = None,
    member: str | None = None,
    site: str | None = None,
    with_fixed: bool = False,
) -> list[SnagLine]:
    """The snags on record, the newest first; those that are mended only where asked."""
    query = select(Snag.id).order_by(Snag.at_utc.desc())
    with database.read() as session:
        if mount is not None:
            query = query.where(Snag.equipment_id == by_name(session, Mount, mount).id)
        if member is not None:
            query = query.where(Snag.member_id == by_name(session, Member, member).id)
        if site is not None:
            query = query.where(Snag.site_id == by_name(session, Site, site).id)
        if not with_fixed:
            query = query.where(Snag.fixed_utc.is_(None))
        return snag_lines(session, list(session.scalars(query)))


def open_snags_of(session: Session, item: UUID) -> list[SnagLine]:
    """The snags of one item that nobody has mended yet, the newest first."""
    query = select(Snag.id).where(Snag.equipment_id == item, Snag.fixed_utc.is_(None))
    return snag_lines(session, list(session.scalars(query)))


def snags_of_night(session: Session, night: Night, site: Site) -> list[SnagLine]:
    """The snags of a night's set-ups, and those of its site in its hours, in order of time."""
    own = select(Snag.id).join(Setup, Snag.setup_id == Setup.id).where(Setup.night_id == night.id)
    start, end = night_bounds_utc(night.night_of, zone_or_utc(site.zone))
    there = select(Snag.id).where(
        Snag.setup_id.is_(None), Snag.site_id == site.id, Snag.at_utc >= start, Snag.at_utc < end
    )
    return snag_lines(session, [*session.scalars(own), *session.scalars(there)])[::-1]


def snag_lines(session: Session, keys: list[UUID]) -> list[SnagLine]:
    """The snags of these keys, the newest first."""
    query = (
        select(Snag, Equipment.name, Member.name, Site.name, Site.zone)
        .outerjoin(Equipment, Snag.equipment_id == Equipment.id)
        .outerjoin(Member, Snag.member_id == Member.id)
        .outerjoin(Site, Snag.site_id == Site.id)
        .where(Snag.id.in_(keys))
        .order_by(Snag.at_utc.desc(), Snag.id.desc())
    )
    return [
        SnagLine(
            reference=reference_of(s.id),
            at_utc=s.at_utc,
            day=s.at_utc.astimezone(zone_or_utc(zone)).date(),
            step=s.step,
            text=s.text,
            about=about,
            member=member,
            site=site,
            fixed_utc=s.fixed_utc,
            remedy=s.remedy,
        )
        for s, about, member, site, zone in session.execute(query)
    ]
