"""What is on record of one kit or item from day to day, in order of time."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from enum import IntEnum, auto
from itertools import groupby
from uuid import UUID

from sqlalchemy import ColumnElement, select
from sqlalchemy.orm import Session

from obslog.club.night.snags import day_there
from obslog.club.register.club_day import days_of
from obslog.club.register.rule_book import rules_in_force
from obslog.club.register.things import Lendable
from obslog.club.storeroom.custody import name_told, paper_of
from obslog.club.storeroom.loan_pages import difference
from obslog.money import money_text
from obslog.records.tables.lending import Absence, Kit, KitPart, Loan, LoanPart
from obslog.records.tables.logbook_tables import Equipment, Member, Service, Snag
from obslog.records.tables.officer import StocktakeTick
from obslog.records.tables.storeroom import BatteryTest, Retirement, ServiceBill


@dataclass(frozen=True, slots=True)
class Event:
    """What happened on a day: one word for it, and the rest in words."""

    day: date
    what: str
    words: str


class Phase(IntEnum):
    """The parts of a day, for events whose hour is not on record: what ended made room for what began."""

    ACQUIRED = auto()
    ENDED = auto()
    HAPPENED = auto()
    GONE = auto()


@dataclass(frozen=True, slots=True)
class PlacedEvent:
    """An event with its place on its day: the phase, and within it the key of its record and the step of that record.

    Keys are in the order in which things came on record.
    """

    event: Event
    phase: Phase
    key: int = 0
    step: int = 0


def history_of(session: Session, what: Lendable, *, with_names: bool) -> list[Event]:
    """All that is on record of it. Without names a borrower is `a member`."""
    currency = rules_in_force(session).currency
    told: list[PlacedEvent] = []
    if isinstance(what, Equipment):
        told += _acquired(session, what, currency)
        told += _services(session, what, currency)
        told += _snags(session, what)
        told += _battery_tests(session, what)
        told += _absences(session, what)
        told += _counted(session, what)
    told += _loans(session, what, with_names)
    told += _parts(session, what) if isinstance(what, Kit) else _joined(session, what)
    told += _past_retirements(session, what)
    told += _retired(session, what)
    return in_order_of_time(told)


def in_order_of_time(told: Iterable[PlacedEvent]) -> list[Event]:
    """The events by their day and their place on it; those of one place as they were told."""
    ordered = sorted(told, key=lambda one: (one.event.day, one.phase, one.key, one.step))
    return [one.event for one in ordered]


def _spell(key: UUID, begins: Event, ends: Event | None) -> Iterator[PlacedEvent]:
    """The two ends of what lasts, such as a loan: one of a single day ends before the next begins."""
    yield PlacedEvent(begins, Phase.HAPPENED, key.int)
    if ends is not None:
        one_day = ends.day == begins.day
        yield PlacedEvent(ends, Phase.HAPPENED, key.int, 1) if one_day else PlacedEvent(ends, Phase.ENDED)


def _acquired(session: Session, item: Equipment, currency: str | None) -> Iterator[PlacedEvent]:
    paper = paper_of(session, item.id)
    if paper is not None and paper.acquired_on is not None:
        how = f"{paper.acquired}" if paper.acquired else "how the club got it is not known"
        cost = _cost(paper.cost, currency)
        yield PlacedEvent(Event(paper.acquired_on, "acquired", f"{how}{cost}"), Phase.ACQUIRED)


def _joined(session: Session, item: Equipment) -> Iterator[PlacedEvent]:
    query = select(KitPart, Kit.name).join(Kit, KitPart.kit_id == Kit.id)
    lent = _lent_within_kits(session, LoanPart.equipment_id == item.id)
    for part, kit in session.execute(query.where(KitPart.equipment_id == item.id).order_by(KitPart.id)):
        yield from _membership(part, "kit", f"joined {kit}", f"left {kit}", lent)


def _parts(session: Session, kit: Kit) -> Iterator[PlacedEvent]:
    lent = _lent_within_kits(session, Loan.kit_id == kit.id)
    for part in session.scalars(select(KitPart).where(KitPart.kit_id == kit.id).order_by(KitPart.id)):
        yield from _membership(part, "part", f"{part.label} joined", f"{part.label} left", lent)


def _lent_within_kits(
    session: Session, which: ColumnElement[bool]
) -> Mapping[tuple[UUID | None, date], UUID]:
    """The last loan of each kit on each day on which one went out."""
    query = select(Loan).join(LoanPart, LoanPart.loan_id == Loan.id).where(which).order_by(Loan.id)
    return {(loan.kit_id, loan.out_on): loan.id for loan in session.scalars(query)}


def _membership(
    part: KitPart, what: str, joined: str, left: str, lent: Mapping[tuple[UUID | None, date], UUID]
) -> Iterator[PlacedEvent]:
    """A part's joining and leaving its kit; it leaves after the loans within the kit of that day."""
    left_on = part.left_on
    ends = None if left_on is None else Event(left_on, what, f"{left}{_because(part.left_why)}")
    begins, *end = _spell(part.id, Event(part.joined_on, what, joined), ends)
    yield begins
    for told in end:
        loan = lent.get((part.kit_id, told.event.day))
        yield told if loan is None else PlacedEvent(told.event, Phase.HAPPENED, loan.int, 2)


def _services(session: Session, item: Equipment, currency: str | None) -> Iterator[PlacedEvent]:
    query = (
        select(Service, ServiceBill.cost, ServiceBill.parts)
        .outerjoin(ServiceBill, ServiceBill.service_id == Service.id)
        .where(Service.equipment_id == item.id)
        .order_by(Service.id)
    )
    for service, cost, parts in session.execute(query):
        mechanical = " (mechanical)" if service.mechanical else ""
        bill = _cost(cost, currency)
        used = f", parts: {parts}" if parts else ""
        event = Event(service.done_on, "service", f"{service.text}{mechanical}{bill}{used}")
        yield PlacedEvent(event, Phase.HAPPENED, service.id.int)


def _snags(session: Session, item: Equipment) -> Iterator[PlacedEvent]:
    """The snags; their hour is on record, so that one of a day never stands before an earlier one."""
    day_of = days_of(session)
    found = session.scalars(select(Snag).where(Snag.equipment_id == item.id).order_by(Snag.at_utc)).all()
    for day, of_day in groupby(found, key=lambda snag: day_there(session, snag)):
        key = 0
        for snag in of_day:
            mended = (
                f" (mended {day_of(snag.fixed_utc)}{_because(snag.remedy)})" if snag.fixed_utc else " (open)"
            )
            key = max(key, snag.id.int)
            yield PlacedEvent(Event(day, "snag", f"{snag.step}: {snag.text}{mended}"), Phase.HAPPENED, key)


def _battery_tests(session: Session, item: Equipment) -> Iterator[PlacedEvent]:
    query = select(BatteryTest).where(BatteryTest.equipment_id == item.id).order_by(BatteryTest.id)
    for test in session.scalars(query):
        read = (
            (test.rest_volts, "V at rest"),
            (test.load_volts, "V under load"),
            (test.capacity_percent, "% of its capacity left"),
        )
        words = ", ".join(f"{value:g} {unit}" for value, unit in read if value is not None)
        yield PlacedEvent(Event(test.tested_on, "battery", words), Phase.HAPPENED, test.id.int)


def _loans(session: Session, what: Lendable, with_names: bool) -> Iterator[PlacedEvent]:
    """Out and back of each loan, whether the item went alone or within a kit; what differs when it came back."""
    query = select(Loan, Member.name, Kit.name).join(Member, Loan.member_id == Member.id)
    query = query.outerjoin(Kit, Loan.kit_id == Kit.id).order_by(Loan.id)
    if isinstance(what, Kit):
        rows = [
            (loan, member, None, None)
            for loan, member, _ in session.execute(query.where(Loan.kit_id == what.id))
        ]
    else:
        of_part = query.add_columns(LoanPart).join(LoanPart, LoanPart.loan_id == Loan.id)
        found = session.execute(of_part.where(LoanPart.equipment_id == what.id))
        rows = [(loan, member, kit, part) for loan, member, kit, part in found]
    for loan, member, kit, part in rows:
        who = name_told(member, with_names=with_names) or "a member"
        within = f" with the kit {kit}" if kit else ""
        handed = ", handed over" if loan.handed_over_from_id else ""
        out = Event(loan.out_on, "out", f"to {who}{within}{handed}, due {loan.due_on}")
        back_on = part.back_on if part is not None else loan.back_on
        back = None if back_on is None else Event(back_on, "back", f"from {who}{within}{_differs(part)}")
        yield from _spell(loan.id, out, back)


def _differs(part: LoanPart | None) -> str:
    if part is None or (told := difference(part)) is None:
        return ""
    return f": {told}{_because(part.note_in)}"


def _absences(session: Session, item: Equipment) -> Iterator[PlacedEvent]:
    query = select(Absence).where(Absence.equipment_id == item.id).order_by(Absence.since, Absence.id)
    for spell in session.scalars(query):
        found = None if spell.found_on is None else Event(spell.found_on, "found", "found again")
        yield from _spell(spell.id, Event(spell.since, "missing", "missing since this day"), found)


def _counted(session: Session, item: Equipment) -> Iterator[PlacedEvent]:
    """Where it was seen in stocktakes: whoever has it on record may have brought it back unnoticed."""
    day_of = days_of(session)
    query = select(StocktakeTick).where(StocktakeTick.equipment_id == item.id).order_by(StocktakeTick.id)
    for tick in session.scalars(query):
        where = f": {tick.found_place}" if tick.found_place else ""
        yield PlacedEvent(
            Event(day_of(tick.seen_utc), "seen", f"at the stocktake{where}"), Phase.HAPPENED, tick.id.int
        )


def _past_retirements(session: Session, what: Lendable) -> Iterator[PlacedEvent]:
    """Retired and in use again. Such a record is made when it ends, so that its key is in the order of that.

    What else began on the day on which it was retired for longer came before that.
    """
    column = Retirement.kit_id if isinstance(what, Kit) else Retirement.equipment_id
    for past in session.scalars(select(Retirement).where(column == what.id).order_by(Retirement.id)):
        for event in _gone(past.retired_on, past.retired_why, past.written_off_on):
            phase = Phase.HAPPENED if event.day == past.back_on else Phase.GONE
            yield PlacedEvent(event, phase, past.id.int)
        yield PlacedEvent(Event(past.back_on, "in use", "back in use"), Phase.HAPPENED, past.id.int, 1)


def _retired(session: Session, what: Lendable) -> Iterator[PlacedEvent]:
    paper = paper_of(session, what.id)
    gone = _gone(what.retired_on, what.retired_why, paper.written_off_on if paper else None)
    yield from (PlacedEvent(event, Phase.GONE) for event in gone)


def _gone(retired_on: date | None, why: str | None, written_off_on: date | None) -> Iterator[Event]:
    """Retired and written off on one day is one event."""
    if retired_on is not None and retired_on != written_off_on:
        yield Event(retired_on, "retired", why or "no reason given")
    if written_off_on is not None:
        yield Event(written_off_on, "written off", why or "no reason given")


def _cost(amount: float | None, currency: str | None) -> str:
    return "" if amount is None else f", cost {money_text(amount, currency)}"


def _because(why: str | None) -> str:
    return f": {why}" if why else ""
