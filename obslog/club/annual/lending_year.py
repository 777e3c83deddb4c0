"""The annual report on lending: loans, who came late, who waits and how long they waited."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from statistics import median

from sqlalchemy import func, select
from sqlalchemy.orm import Session, aliased

from obslog.club.annual.report_records import Late, LoanYear, Period, Queue, WaitingYear
from obslog.club.register.rule_book import Rules
from obslog.club.storeroom.loan_pages import mark_of
from obslog.records.tables.lending import Kit, Loan, Renewal, Reservation
from obslog.records.tables.logbook_tables import Equipment, Member


@dataclass(frozen=True, slots=True)
class _Lent:
    """A loan with its names."""

    mark: str
    what: str
    kind: str
    member: str
    out_on: date
    due_on: date
    back_on: date | None
    handed_over: bool


@dataclass(frozen=True, slots=True)
class _Asked:
    """A place in a waiting list."""

    what: str
    kind: str
    member: str
    on: date
    closed_on: date | None
    served: bool | None


def loan_year(session: Session, period: Period, today: date, rules: Rules, *, with_names: bool) -> LoanYear:
    """The loans of the period, and those that are overdue today."""
    loans, grace = _loans(session), int(rules["overdue-out"])
    begun = [loan for loan in loans if period.holds(loan.out_on)]
    late = [
        _late(loan, loan.back_on, with_names=with_names)
        for loan in loans
        if loan.back_on and period.holds(loan.back_on) and (loan.back_on - loan.due_on).days > grace
    ]
    overdue = [
        _late(loan, today, with_names=with_names)
        for loan in loans
        if loan.back_on is None and (today - loan.due_on).days > grace
    ]
    renewals, renewed = session.execute(
        select(func.count(), func.count(Renewal.loan_id.distinct())).where(
            Renewal.renewed_on.between(period.first, period.last)
        )
    ).one()
    return LoanYear(
        len(begun),
        sum(loan.handed_over for loan in begun),
        len({loan.member for loan in begun}),
        sum(
            loan.out_on < period.first and not _back_by(loan, period.first, same_day=False) for loan in loans
        ),
        sum(period.holds(loan.back_on) for loan in loans),
        sum(loan.out_on <= period.last and not _back_by(loan, period.last, same_day=True) for loan in loans),
        renewals,
        renewed,
        sorted(late, key=lambda loan: -loan.days_late),
        sum(loan.days_late for loan in late),
        sorted(overdue, key=lambda loan: -loan.days_late),
        grace,
        sorted({loan.member for loan in begun}) if with_names else None,
    )


def _back_by(loan: _Lent, day: date, *, same_day: bool) -> bool:
    return loan.back_on is not None and (loan.back_on < day or (same_day and loan.back_on == day))


def _late(loan: _Lent, until: date, *, with_names: bool) -> Late:
    member = loan.member if with_names else None
    return Late(
        loan.mark, loan.what, loan.kind, member, loan.due_on, loan.back_on, (until - loan.due_on).days
    )


def waiting_year(session: Session, period: Period, *, with_names: bool) -> WaitingYear:
    """Who waited on the last day of the period, and how those fared who left the lists in it."""
    asked = _reservations(session)
    waits = [
        place
        for place in asked
        if place.on <= period.last and (place.closed_on is None or place.closed_on > period.last)
    ]
    left = [place for place in asked if period.holds(place.closed_on)]
    served = [(place.closed_on - place.on).days for place in left if place.served and place.closed_on]
    return WaitingYear(
        len(waits),
        max(((period.last - place.on).days for place in waits), default=None),
        _queues(waits, period.last, with_names=with_names),
        len(served),
        median(served) if served else None,
        max(served, default=None),
        sum(not place.served for place in left),
    )


def _queues(waits: Iterable[_Asked], last: date, *, with_names: bool) -> list[Queue]:
    by_thing: dict[tuple[str, str], list[_Asked]] = {}
    for place in waits:
        by_thing.setdefault((place.what, place.kind), []).append(place)
    queues = [
        Queue(
            what,
            kind,
            len(places),
            max((last - place.on).days for place in places),
            [place.member for place in places] if with_names else None,
        )
        for (what, kind), places in by_thing.items()
    ]
    return sorted(queues, key=lambda queue: (-queue.waiting, -queue.longest_days))


def _loans(session: Session) -> Sequence[_Lent]:
    kit, thing = aliased(Kit), aliased(Equipment)
    query = (
        select(Loan, Member.name, kit.name, thing.name, thing.kind)
        .join(Member, Loan.member_id == Member.id)
        .outerjoin(kit, Loan.kit_id == kit.id)
        .outerjoin(thing, Loan.equipment_id == thing.id)
        .order_by(Loan.out_on, Loan.id)
    )
    return [
        _Lent(
            mark_of(loan.id), kit_name or thing_name, kind or "kit", member, loan.out_on, loan.due_on, loan.back_on,
            loan.handed_over_from_id is not None,
        )
        for loan, member, kit_name, thing_name, kind in session.execute(query)
    ]  # fmt: skip


def _reservations(session: Session) -> Sequence[_Asked]:
    kit, thing = aliased(Kit), aliased(Equipment)
    query = (
        select(Reservation, Member.name, kit.name, thing.name, thing.kind)
        .join(Member, Reservation.member_id == Member.id)
        .outerjoin(kit, Reservation.kit_id == kit.id)
        .outerjoin(thing, Reservation.equipment_id == thing.id)
        .order_by(Reservation.asked_utc, Reservation.id)
    )
    return [
        _Asked(
            kit_name or thing_name,
            kind or "kit",
            member,
            place.asked_utc.date(),
            place.closed_on,
            place.served,
        )
        for place, member, kit_name, thing_name, kind in session.execute(query)
    ]
