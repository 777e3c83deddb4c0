"""The page of one kit or item: its papers, where it is, its photographs, and its history in order of time."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from itertools import chain

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.register.rule_book import rules_in_force
from obslog.club.register.things import Lendable, lendable, thing_named
from obslog.club.storeroom.custody import name_told, paper_of
from obslog.club.storeroom.inventory_details import PhotographLine, photographs_of
from obslog.club.storeroom.kits import parts_of
from obslog.club.storeroom.loan_pages import difference
from obslog.club.storeroom.store_list import StoreLine, store_lines
from obslog.club.upkeep.services_due import DueService, due_of
from obslog.money import money_text
from obslog.records.opening import Database
from obslog.records.tables.lending import Absence, Kit, KitPart, Loan, LoanPart
from obslog.records.tables.logbook_tables import Equipment, Member, Service, Snag
from obslog.records.tables.storeroom import BatteryTest, Retirement, ServiceBill


@dataclass(frozen=True, slots=True)
class Event:
    """What happened on a day: one word for it, and the rest in words."""

    day: date
    what: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StorePage:
    """All that is on record of a kit or item; the history is in order of time, amounts in the club's currency."""

    papers: StoreLine
    photographs: list[PhotographLine]
    services_due: list[DueService]
    history: list[Event]
    currency: str | None


def store_page(
    database: Database,
    name: str,
    today: date,
    *,
    kind: str | None = None,
    with_names: bool = False,
    things_only: bool = False,
) -> StorePage:
    """The page of the kit of that name, unless `things_only`, or else of the item. Raises UnknownName, WhichKind."""
    with database.read() as session:
        what: Lendable = thing_named(session, name, kind) if things_only else lendable(session, name, kind)
        keys = (
            {what.id}
            if isinstance(what, Equipment)
            else {part.equipment_id for part in parts_of(session, what)}
        )
        due = due_of(session, {key for key in keys if key is not None}, today)
        return StorePage(
            papers=store_lines(session, with_names=with_names, only=what.id)[0],
            photographs=photographs_of(session, what) if isinstance(what, Equipment) else [],
            services_due=[one for dues in due.values() for one in dues],
            history=history_of(session, what, with_names=with_names),
            currency=rules_in_force(session).currency,
        )


def history_of(session: Session, what: Lendable, *, with_names: bool) -> list[Event]:
    """All that is on record of it. Without names a borrower is `a member`."""
    groups: list[Iterable[Event]] = []
    currency = rules_in_force(session).currency
    if isinstance(what, Equipment):
        groups = [_acquired(session, what, currency), _joined(session, what)]
        groups.append(_services(session, what, currency))
        groups += [_snags(session, what), _battery_tests(session, what)]
    else:
        groups = [_parts(session, what)]
    groups.append(_loans(session, what, with_names))
    missing, found = _absences(session, what) if isinstance(what, Equipment) else ([], [])
    groups += [missing, _past_retirements(session, what), found, _retired(session, what)]
    return in_order_of_time(groups)


def in_order_of_time(groups: Iterable[Iterable[Event]]) -> list[Event]:
    """The events by their day; on one day in the order of the groups, and within a group in its own."""
    return sorted(chain.from_iterable(groups), key=lambda event: event.day)


def _acquired(session: Session, item: Equipment, currency: str | None) -> Iterator[Event]:
    paper = paper_of(session, item.id)
    if paper is not None and paper.acquired_on is not None:
        how = f"{paper.acquired}" if paper.acquired else "how the club got it is not known"
        cost = _cost(paper.cost, currency)
        yield Event(paper.acquired_on, "acquired", f"{how}{cost}")


def _joined(session: Session, item: Equipment) -> Iterator[Event]:
    query = select(KitPart, Kit.name).join(Kit, KitPart.kit_id == Kit.id)
    for part, kit in session.execute(query.where(KitPart.equipment_id == item.id).order_by(KitPart.id)):
        yield Event(part.joined_on, "kit", f"joined {kit}")
        if part.left_on is not None:
            yield Event(part.left_on, "kit", f"left {kit}{_because(part.left_why)}")


def _parts(session: Session, kit: Kit) -> Iterator[Event]:
    for part in session.scalars(select(KitPart).where(KitPart.kit_id == kit.id).order_by(KitPart.id)):
        yield Event(part.joined_on, "part", f"{part.label} joined")
        if part.left_on is not None:
            yield Event(part.left_on, "part", f"{part.label} left{_because(part.left_why)}")


def _services(session: Session, item: Equipment, currency: str | None) -> Iterator[Event]:
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
        yield Event(service.done_on, "service", f"{service.text}{mechanical}{bill}{used}")


def _snags(session: Session, item: Equipment) -> Iterator[Event]:
    for snag in session.scalars(select(Snag).where(Snag.equipment_id == item.id).order_by(Snag.at_utc)):
        mended = f" (mended {snag.fixed_utc.date()}{_because(snag.remedy)})" if snag.fixed_utc else " (open)"
        yield Event(snag.at_utc.date(), "snag", f"{snag.step}: {snag.text}{mended}")


def _battery_tests(session: Session, item: Equipment) -> Iterator[Event]:
    query = select(BatteryTest).where(BatteryTest.equipment_id == item.id).order_by(BatteryTest.id)
    for test in session.scalars(query):
        read = (
            (test.rest_volts, "V at rest"),
            (test.load_volts, "V under load"),
            (test.capacity_percent, "% of its capacity left"),
        )
        words = ", ".join(f"{value:g} {unit}" for value, unit in read if value is not None)
        yield Event(test.tested_on, "battery", words)


def _loans(session: Session, what: Lendable, with_names: bool) -> Iterator[Event]:
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
        yield Event(loan.out_on, "out", f"to {who}{within}{handed}, due {loan.due_on}")
        back_on = part.back_on if part is not None else loan.back_on
        if back_on is not None:
            yield Event(back_on, "back", f"from {who}{within}{_differs(part)}")


def _differs(part: LoanPart | None) -> str:
    if part is None or (told := difference(part)) is None:
        return ""
    return f": {told}{_because(part.note_in)}"


def _absences(session: Session, item: Equipment) -> tuple[list[Event], list[Event]]:
    """The days from which it was missing, and those on which it was found."""
    query = select(Absence).where(Absence.equipment_id == item.id).order_by(Absence.since, Absence.id)
    spells = session.scalars(query).all()
    return (
        [Event(spell.since, "missing", "missing since this day") for spell in spells],
        [Event(spell.found_on, "found", "found again") for spell in spells if spell.found_on is not None],
    )


def _past_retirements(session: Session, what: Lendable) -> Iterator[Event]:
    column = Retirement.kit_id if isinstance(what, Kit) else Retirement.equipment_id
    query = select(Retirement).where(column == what.id).order_by(Retirement.id)
    for past in session.scalars(query):
        yield from _gone(past.retired_on, past.retired_why, past.written_off_on)
        yield Event(past.back_on, "in use", "back in use")


def _retired(session: Session, what: Lendable) -> Iterator[Event]:
    paper = paper_of(session, what.id)
    yield from _gone(what.retired_on, what.retired_why, paper.written_off_on if paper else None)


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
