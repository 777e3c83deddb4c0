"""What people do on a laptop, at random, as rows of the tables: the rules of the club are not asked."""

import random
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.records.merging.same_aliases import keep_as_one
from obslog.records.nameless import has_left
from obslog.records.tables.base import name_key
from obslog.records.tables.lending import Absence, Kit, KitPart, Loan, LoanPart, Reservation
from obslog.records.tables.logbook import SameRecord, Snag, Tick
from obslog.records.tables.logbook_tables import (
    Arrival,
    Attendance,
    Item,
    Member,
    Mount,
    Night,
    Setup,
    Site,
    SkyReading,
)
from obslog.records.tables.officer import NotFound, NotOnRecord, Stocktake, StocktakeTick
from obslog.records.tables.storeroom import ClubRule, Paper
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.mounts import PierSide
from obslog.vocabulary.sky_scales import SkyScale
from obslog.vocabulary.steps import Step

BEGUN = datetime(2026, 3, 2, 20, 0, tzinfo=UTC)
NAMES = ["Hut", "Ridge", "hut"]
PEOPLE = ["Anna", "Dirk", "anna"]
WORDS = ["wet", "dry", "dusty", None]
NAMED: list[type[Any]] = [Site, Member, Mount, Item, Kit]


def _any(session: Session, kind: type[Any], chance: random.Random) -> Any:
    found = session.scalars(select(kind).order_by(kind.id)).all()
    return chance.choice(found) if found else None


def _add_named(session: Session, chance: random.Random) -> None:
    kind = chance.choice(NAMED)
    name = chance.choice(_names_of(kind))
    session.add(kind(name=name, name_key=name_key(name), note=chance.choice(WORDS)))


def _names_of(kind: type[Any]) -> list[str]:
    return PEOPLE if kind is Member else NAMES


def _edit_named(session: Session, chance: random.Random) -> None:
    record = _any(session, chance.choice(NAMED), chance)
    if record is None:
        return
    if chance.random() < 0.4:
        record.name = chance.choice([*_names_of(type(record)), "Ines" if type(record) is Member else "Mill"])
        record.name_key = name_key(record.name)
    else:
        record.note = chance.choice(WORDS)


def _edit_site(session: Session, chance: random.Random) -> None:
    site = _any(session, Site, chance)
    if site:
        site.lat_deg, site.lon_deg = chance.choice([(50.0, 1.0), (51.5, 2.25), (None, None)])
        site.private = chance.choice([True, None])


def _add_night(session: Session, chance: random.Random) -> None:
    site = _any(session, Site, chance)
    if site:
        day = (BEGUN + timedelta(days=chance.randrange(3))).date()
        session.add(
            Night(site_id=site.id, night_of=day, note=chance.choice(WORDS), open=chance.random() < 0.5)
        )


def _edit_night(session: Session, chance: random.Random) -> None:
    night = _any(session, Night, chance)
    if night:
        night.note = chance.choice(WORDS)
        night.open = not night.open
        if chance.random() < 0.2:
            night.night_of = (BEGUN + timedelta(days=chance.randrange(4))).date()


def _add_in_night(session: Session, chance: random.Random) -> None:
    night = _any(session, Night, chance)
    member, mount = _any(session, Member, chance), _any(session, Mount, chance)
    if night is None or member is None or mount is None:
        return
    what = chance.randrange(3)
    if what == 0:
        session.add(Attendance(night_id=night.id, member_id=member.id))
    elif what == 1:
        session.add(
            SkyReading(night_id=night.id, scale=SkyScale.TEMPERATURE_C, value=chance.choice([1.0, 2.5]))
        )
    else:
        taken = session.scalars(
            select(Setup.ordinal).where(Setup.night_id == night.id, Setup.mount_id == mount.id)
        ).all()
        session.add(
            Setup(
                night_id=night.id,
                mount_id=mount.id,
                ordinal=max(taken, default=0) + 1,
                member_id=chance.choice([member.id, None]),
            )
        )


def _add_arrival(session: Session, chance: random.Random) -> None:
    setup = _any(session, Setup, chance)
    member = _any(session, Member, chance)
    if setup:
        at = BEGUN + timedelta(minutes=chance.randrange(3))
        place = chance.choice([(1.5, 20.0), (None, None)])
        session.add(
            Arrival(
                setup_id=setup.id,
                at_utc=at,
                role=Role.CHECK,
                target="Vega",
                note=chance.choice(WORDS),
                ra_hours=place[0],
                dec_deg=place[1],
                member_id=member.id if member else None,
            )
        )


def _edit_setup(session: Session, chance: random.Random) -> None:
    setup = _any(session, Setup, chance)
    if setup:
        setup.note = chance.choice(WORDS)
        side = chance.choice([PierSide.EAST, None])
        setup.pier_side, setup.pier_side_since_utc = side, BEGUN if side else None


def _edit_arrival(session: Session, chance: random.Random) -> None:
    arrival = _any(session, Arrival, chance)
    if arrival:
        arrival.note = chance.choice(WORDS)
        arrival.at_utc = BEGUN + timedelta(minutes=chance.randrange(3))


def _tick(session: Session, chance: random.Random) -> None:
    setup, member = _any(session, Setup, chance), _any(session, Member, chance)
    session.add(
        Tick(
            at_utc=BEGUN,
            step=next(iter(Step)),
            setup_id=setup and setup.id,
            member_id=member and member.id,
        )
    )


def _note_snag(session: Session, chance: random.Random) -> None:
    mount, member, site = (
        _any(session, Mount, chance),
        _any(session, Member, chance),
        _any(session, Site, chance),
    )
    session.add(
        Snag(
            at_utc=BEGUN + timedelta(minutes=chance.randrange(3)),
            step=next(iter(Step)),
            text=chance.choice(["slips", "squeaks"]),
            equipment_id=mount and mount.id,
            member_id=member and chance.choice([member.id, None]),
            site_id=site and chance.choice([site.id, None]),
        )
    )


def _remove(session: Session, chance: random.Random) -> None:
    kinds: list[type[Any]] = [*NAMED, Night, Setup, Arrival, Attendance, Loan, LoanPart, Tick, KitPart, Snag]
    kind = chance.choice(kinds)
    record = _any(session, kind, chance)
    if record is not None:
        session.delete(record)


def _lend(session: Session, chance: random.Random) -> None:
    item, kit, member = _any(session, Item, chance), _any(session, Kit, chance), _any(session, Member, chance)
    if member is None or item is None:
        return
    day = BEGUN.date()
    before = _any(session, Loan, chance) if chance.random() < 0.2 else None
    loan = Loan(
        member_id=member.id, out_on=day, due_on=day + timedelta(days=chance.randrange(5)),
        kit_id=kit.id if kit and chance.random() < 0.3 else None, handed_over_from_id=before and before.id,
    )  # fmt: skip
    if loan.kit_id is None:
        loan.equipment_id = item.id
    session.add(loan)
    session.flush()
    session.add(LoanPart(loan_id=loan.id, label=item.name, equipment_id=item.id))


def _edit_loan(session: Session, chance: random.Random) -> None:
    loan = _any(session, Loan, chance)
    if loan is None:
        return
    if chance.random() < 0.6:
        loan.back_on = chance.choice([None, loan.out_on, loan.out_on + timedelta(days=3)])
        for part in session.scalars(select(LoanPart).where(LoanPart.loan_id == loan.id)):
            part.back_on = loan.back_on
    elif chance.random() < 0.5:
        loan.due_on = loan.out_on + timedelta(days=chance.randrange(3))
    else:
        loan.out_on = loan.due_on - timedelta(days=chance.randrange(2))


def _store(session: Session, chance: random.Random) -> None:
    item = _any(session, Item, chance)
    if item is None:
        return
    paper = session.scalars(select(Paper).where(Paper.equipment_id == item.id)).one_or_none()
    if paper is None:
        paper = Paper(equipment_id=item.id)
        session.add(paper)
    paper.tag = chance.choice(["A1", "A2", None])
    paper.serial = chance.choice(["s1", "s2", None])


def _more_of_the_store(session: Session, chance: random.Random) -> None:
    item, kit, member = _any(session, Item, chance), _any(session, Kit, chance), _any(session, Member, chance)
    if item is None or kit is None or member is None:
        return
    what = chance.randrange(4)
    if what == 0:
        session.add(KitPart(kit_id=kit.id, label=item.name, joined_on=BEGUN.date(), equipment_id=item.id))
    elif what == 1:
        session.add(Absence(equipment_id=item.id, since=BEGUN.date()))
    elif what == 2:
        session.add(Reservation(member_id=member.id, asked_utc=BEGUN, equipment_id=item.id))
    else:
        rule = session.scalars(select(ClubRule).where(ClubRule.name == "term")).one_or_none()
        if rule is None:
            session.add(ClubRule(name="term", value=float(chance.randrange(5))))
        else:
            rule.value = float(chance.randrange(5))


def _close_something(session: Session, chance: random.Random) -> None:
    day = BEGUN.date() + timedelta(days=1)
    closed: list[tuple[type[Any], str]] = [
        (KitPart, "left_on"),
        (Absence, "found_on"),
        (Reservation, "closed_on"),
    ]
    for kind, column in closed:
        record = _any(session, kind, chance)
        if record is not None and chance.random() < 0.5:
            setattr(record, column, day)


def _join(session: Session, chance: random.Random) -> None:
    """Two members made one: all that refers to the one is moved, and it is gone."""
    stays, goes = _any(session, Member, chance), _any(session, Member, chance)
    if stays is None or goes is None or stays is goes or has_left(stays.name) or has_left(goes.name):
        return  # who has left is made one with nobody
    twins = set(session.scalars(select(Attendance.night_id).where(Attendance.member_id == stays.id)))
    for kind, column in (
        (Attendance, "member_id"), (Setup, "member_id"), (Arrival, "member_id"), (Tick, "member_id"),
        (Snag, "member_id"), (Loan, "member_id"), (Reservation, "member_id"),
    ):  # fmt: skip
        for record in session.scalars(select(kind).where(getattr(kind, column) == goes.id)):
            if isinstance(record, Attendance) and record.night_id in twins:
                session.delete(record)
            else:
                setattr(record, column, stays.id)
    stays.note = f"also {goes.name}"
    session.flush()
    session.delete(goes)
    session.add(SameRecord(record_kind="Member", gone_id=goes.id, kept_id=stays.id))


def _count_shelves(session: Session, chance: random.Random) -> None:
    """What somebody does who counts: begin, where none is open, tick, note what is not on record, finish."""
    query = select(Stocktake).where(Stocktake.finished_on.is_(None)).order_by(Stocktake.id)
    stocktake, item, member = (
        session.scalars(query).first(),
        _any(session, Item, chance),
        _any(session, Member, chance),
    )
    if stocktake is None:
        day = (BEGUN + timedelta(days=chance.randrange(3))).date()
        session.add(Stocktake(started_on=day, member_id=member and chance.choice([member.id, None])))
    elif chance.random() < 0.2:
        keep_as_one(session, "Stocktake", stocktake.id)
        stocktake.finished_on, stocktake.expected = (BEGUN + timedelta(days=9)).date(), chance.randrange(3)
        if item is not None:
            session.add(NotFound(stocktake_id=stocktake.id, equipment_id=item.id))
    elif item is not None and chance.random() < 0.8:
        place = chance.choice(["attic", None])
        session.add(
            StocktakeTick(stocktake_id=stocktake.id, equipment_id=item.id, seen_utc=BEGUN, found_place=place)
        )
    else:
        session.add(NotOnRecord(stocktake_id=stocktake.id, text="a torch", seen_utc=BEGUN))


def undo(_session: Session, _chance: random.Random) -> None:
    """Stands for taking back the newest act."""


DOING: dict[Callable[[Session, random.Random], None], float] = {
    _add_named: 3, _edit_named: 4, _edit_site: 1, _add_night: 4, _edit_night: 2, _add_in_night: 6, _edit_setup: 1,
    _add_arrival: 5, _edit_arrival: 2, _tick: 1, _remove: 3, _lend: 4, _edit_loan: 3, _store: 3,
    _more_of_the_store: 3, _close_something: 1, _join: 1, undo: 3,
    _count_shelves: 3, _note_snag: 1,
}  # fmt: skip
