"""Who is to be told what of the loans they have, and that what they wait for is there: one record a member."""

from dataclasses import dataclass, replace
from datetime import date, datetime
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.register.club_day import club_day
from obslog.club.register.rule_book import Rules, rules_in_force
from obslog.club.reminding.calls import LastCall, last_calls
from obslog.club.reminding.history import WrittenLetter, days_written
from obslog.club.reminding.next_waiting import NextWaiting, next_for_each
from obslog.club.reminding.stages import Stage, most_pressing, stage_of
from obslog.club.storeroom.custody import name_told
from obslog.club.storeroom.loan_pages import LoanLine, loan_lines
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.lending import Loan, LoanPart
from obslog.records.tables.logbook_tables import Member
from obslog.records.tables.storeroom import Contact


@dataclass(frozen=True, slots=True, kw_only=True)
class LoanToTell:
    """A loan as its borrower is told of it. `days_left` is negative past the due date, `days_over` zero until then.

    `parts` are those of a kit that are still out; of a single item there are none. `reminded_on` is the last day on
    which a reminder was written, `written_before` the last before today; `already_told`: at the stage where it is now.
    `called_on` and `call_note` are of the last telephone call about it.
    """

    key: UUID
    reference: str
    what: str
    parts: list[str]
    out_on: date
    due_on: date
    days_left: int
    days_over: int
    stage: Stage
    waiting: int
    reminded_on: date | None
    written_before: date | None
    times_reminded: int
    already_told: bool
    called_on: date | None
    times_called: int
    call_note: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MemberReminder:
    """All that one member is told: the loans that are due or soon will be, what else they have, what is there for them.

    `email` is None where none is on record; `stage` is that of the most pressing loan.
    """

    key: UUID
    member: str
    email: str | None
    stage: Stage
    loans: list[LoanToTell]
    not_yet: list[LoanToTell]
    ready: list[NextWaiting]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReminderCounts:
    """How many loans are at which stage, and for how many waiting lists the next can come."""

    due_soon: int
    due: int
    overdue: int
    second_reminder: int
    to_the_officer: int
    ready: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RemindersDue:
    """The reminders of a day, the most pressing first, and who is next in each waiting list."""

    on: date
    counts: ReminderCounts
    reminders: list[MemberReminder]
    waiting: list[NextWaiting]


def reminders_due(
    database: Database, now: datetime, member: str | None = None, *, only_new: bool = False
) -> RemindersDue:
    """What is to be told today, to all or to one member; `only_new`: to those alone for whom something is new.

    Raises UnknownName.
    """
    today = club_day(database, now)
    with database.read() as session:
        only = by_name(session, Member, member).id if member is not None else None
        loans = _loans(session, today)
        waiting = next_for_each(session, today)
        if only is not None:
            loans = {key: told for key, told in loans.items() if key == only}
            waiting = [(key, line) for key, line in waiting if key == only]
        reminders = _reminders(session, loans, waiting)
    if only_new:
        reminders = [reminder for reminder in reminders if _has_news(reminder)]
    return RemindersDue(
        on=today,
        counts=_counts(reminders),
        reminders=sorted(reminders, key=_pressing_first),
        waiting=[line for _, line in waiting],
    )


def waiting_without_names(waiting: list[NextWaiting]) -> list[NextWaiting]:
    """Who is next, as any member may see it: that somebody is."""
    return [replace(line, member=name_told(line.member, with_names=False)) for line in waiting]


def written(reminder: MemberReminder, text: str) -> WrittenLetter:
    """The letter to that member, to be noted."""
    return WrittenLetter(
        text=text,
        loans={loan.key: loan.stage for loan in reminder.loans},
        places=[line.key for line in reminder.ready],
    )


def _has_news(reminder: MemberReminder) -> bool:
    return any(not loan.already_told for loan in reminder.loans) or any(
        line.reminded_on is None for line in reminder.ready
    )


def _loans(session: Session, today: date) -> dict[UUID, list[LoanToTell]]:
    """All loans that are out, by the key of the member, the first due first."""
    rules = rules_in_force(session)
    loans = session.scalars(select(Loan).where(Loan.back_on.is_(None)).order_by(Loan.due_on, Loan.id)).all()
    parts, days, calls = _parts_out(session), days_written(session), last_calls(session)
    found: dict[UUID, list[LoanToTell]] = {}
    for loan, line in zip(loans, loan_lines(session, loans, today), strict=True):
        of_kit = parts.get(loan.id, []) if loan.kit_id else []
        told = _with_call(_told(loan.id, line, of_kit, rules), calls.get(loan.id))
        found.setdefault(loan.member_id, []).append(_with_history(told, days.get(loan.id, []), today, rules))
    return found


def _told(key: UUID, line: LoanLine, parts: list[str], rules: Rules) -> LoanToTell:
    left = line.days_left
    assert left is not None  # of loans that are out alone
    return LoanToTell(
        key=key,
        reference=line.reference,
        what=line.what,
        parts=parts,
        out_on=line.out_on,
        due_on=line.due_on,
        days_left=left,
        days_over=max(0, -left),
        stage=stage_of(left, rules),
        waiting=line.waiting,
        reminded_on=None,
        written_before=None,
        times_reminded=0,
        already_told=False,
        called_on=None,
        times_called=0,
        call_note=None,
    )


def _with_call(loan: LoanToTell, call: LastCall | None) -> LoanToTell:
    if call is None:
        return loan
    return replace(loan, called_on=call.called_on, times_called=call.times, call_note=call.note)


def _with_history(loan: LoanToTell, days: list[date], today: date, rules: Rules) -> LoanToTell:
    """The loan with when it was told of. An extension begins anew: the stage then is counted to the due date now."""
    before = [day for day in days if day < today]
    return replace(
        loan,
        reminded_on=days[-1] if days else None,
        written_before=before[-1] if before else None,
        times_reminded=len(days),
        already_told=bool(days) and stage_of((loan.due_on - days[-1]).days, rules) is loan.stage,
    )


def _parts_out(session: Session) -> dict[UUID, list[str]]:
    query = select(LoanPart.loan_id, LoanPart.label).where(LoanPart.back_on.is_(None)).order_by(LoanPart.id)
    found: dict[UUID, list[str]] = {}
    for loan, label in session.execute(query):
        found.setdefault(loan, []).append(label)
    return found


def _reminders(
    session: Session, loans: dict[UUID, list[LoanToTell]], waiting: list[tuple[UUID, NextWaiting]]
) -> list[MemberReminder]:
    """One for each member with a loan that is due or soon will be, or for whom something is there."""
    ready: dict[UUID, list[NextWaiting]] = {}
    for key, line in waiting:
        if line.there:
            ready.setdefault(key, []).append(line)
    query = select(Member.id, Member.name, Contact.email).outerjoin(Contact, Contact.member_id == Member.id)
    found = []
    for key, name, email in session.execute(query):
        all_loans = loans.get(key, [])
        told = [loan for loan in all_loans if loan.stage is not Stage.NOT_YET]
        if told or key in ready:
            found.append(
                MemberReminder(
                    key=key,
                    member=name,
                    email=email,
                    stage=most_pressing([loan.stage for loan in told]),
                    loans=told,
                    not_yet=[loan for loan in all_loans if loan.stage is Stage.NOT_YET],
                    ready=ready.get(key, []),
                )
            )
    return found


def _counts(reminders: list[MemberReminder]) -> ReminderCounts:
    stages = [loan.stage for reminder in reminders for loan in reminder.loans]
    return ReminderCounts(
        due_soon=stages.count(Stage.DUE_SOON),
        due=stages.count(Stage.DUE),
        overdue=stages.count(Stage.OVERDUE),
        second_reminder=stages.count(Stage.SECOND),
        to_the_officer=stages.count(Stage.OFFICER),
        ready=sum(len(reminder.ready) for reminder in reminders),
    )


def _pressing_first(reminder: MemberReminder) -> tuple[int, str]:
    return -list(Stage).index(reminder.stage), reminder.member.casefold()
