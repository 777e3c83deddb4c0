"""The annual report on lending: loans, who came late, who waits and how long they waited."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from statistics import median

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from obslog.club.annual.report_records import Late, LoanYear, Period, Queue, WaitingYear
from obslog.club.register.club_day import days_of
from obslog.club.register.rule_book import Rules
from obslog.club.storeroom.custody import name_told
from obslog.club.storeroom.loan_pages import named
from obslog.records.tables.keys import reference_of
from obslog.records.tables.lending import Loan, Renewal, Reservation
from obslog.records.tables.logbook_tables import Member


@dataclass(frozen=True, slots=True, kw_only=True)
class _Lent:
    """A loan with its names."""

    reference: str
    what: str
    kind: str
    member: str
    out_on: date
    due_on: date
    back_on: date | None
    handed_over: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """A place in a waiting list."""

    what: str
    kind: str
    member: str
    on: date
    closed_on: date | None
    served: bool | None

    def days_until(self, day: date) -> int:
        """For how many days; none where it was noted late, with a day before it was asked for."""
        return max(0, (day - self.on).days)


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
        begun=len(begun),
        handed_over=sum(loan.handed_over for loan in begun),
        borrowers=len({loan.member for loan in begun}),
        out_before=sum(
            loan.out_on < period.first and not _back_by(loan, period.first, same_day=False) for loan in loans
        ),
        came_back=sum(period.holds(loan.back_on) for loan in loans),
        out_at_end=sum(
            loan.out_on <= period.last and not _back_by(loan, period.last, same_day=True) for loan in loans
        ),
        renewals=renewals,
        renewed_loans=renewed,
        late=sorted(late, key=lambda loan: -loan.days_late),
        days_late=sum(loan.days_late for loan in late),
        overdue_now=sorted(overdue, key=lambda loan: -loan.days_late),
        grace_days=grace,
        borrower_names=sorted({loan.member for loan in begun}) if with_names else None,
    )


def _back_by(loan: _Lent, day: date, *, same_day: bool) -> bool:
    return loan.back_on is not None and (loan.back_on < day or (same_day and loan.back_on == day))


def _late(loan: _Lent, until: date, *, with_names: bool) -> Late:
    return Late(
        reference=loan.reference,
        what=loan.what,
        kind=loan.kind,
        member=name_told(loan.member, with_names=with_names),
        due_on=loan.due_on,
        back_on=loan.back_on,
        days_late=(until - loan.due_on).days,
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
    served = [place.days_until(place.closed_on) for place in left if place.served and place.closed_on]
    return WaitingYear(
        waiting=len(waits),
        members=len({place.member for place in waits}),
        longest_days=max(((period.last - place.on).days for place in waits), default=None),
        queues=_queues(waits, period.last, with_names=with_names),
        served=len(served),
        served_median_days=median(served) if served else None,
        served_longest_days=max(served, default=None),
        withdrawn=sum(not place.served for place in left),
    )


def _queues(waits: Iterable[_Asked], last: date, *, with_names: bool) -> list[Queue]:
    by_item: dict[tuple[str, str], list[_Asked]] = {}
    for place in waits:
        by_item.setdefault((place.what, place.kind), []).append(place)
    queues = [
        Queue(
            what=what,
            kind=kind,
            waiting=len(places),
            longest_days=max((last - place.on).days for place in places),
            members=[place.member for place in places] if with_names else None,
        )
        for (what, kind), places in by_item.items()
    ]
    return sorted(queues, key=lambda queue: (-queue.waiting, -queue.longest_days))


def _loans(session: Session) -> Sequence[_Lent]:
    return [
        _Lent(
            reference=reference_of(loan.id),
            what=what,
            kind=kind,
            member=member,
            out_on=loan.out_on,
            due_on=loan.due_on,
            back_on=loan.back_on,
            handed_over=loan.handed_over_from_id is not None,
        )
        for loan, member, what, kind in session.execute(named(Loan).order_by(Loan.out_on, Loan.id))
    ]


def _reservations(session: Session) -> Sequence[_Asked]:
    """All places; that of a member who left ended then, though another laptop wrote it that had not heard of it."""
    day_of = days_of(session)
    left = dict(session.execute(select(Member.id, Member.retired_on)).all())
    query = named(Reservation).order_by(Reservation.asked_utc, Reservation.id)
    return [
        _Asked(
            what=what,
            kind=kind,
            member=member,
            on=day_of(place.asked_utc),
            closed_on=place.closed_on or left[place.member_id],
            served=place.served,
        )
        for place, member, what, kind in session.execute(query)
    ]
