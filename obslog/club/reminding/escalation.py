"""The loans that are the officer's to see to, by the club's rule: who has them, how to reach them, what was tried."""

from dataclasses import dataclass
from datetime import date, datetime

from obslog.club.register.contacts import reach_of
from obslog.club.register.rule_book import rules_in_force
from obslog.club.reminding.history import days_told
from obslog.club.reminding.reminders import LoanToTell, reminders_due
from obslog.club.reminding.stages import Stage
from obslog.records.database import Database


@dataclass(frozen=True, slots=True, kw_only=True)
class LoanToSeeTo:
    """A loan that is long overdue, its borrower, and how they are reached; None where that is not on record.

    `told_on` is the last day on which a mail to the officer was written, `told_before` the last before today.
    """

    member: str
    phone: str | None
    email: str | None
    loan: LoanToTell
    told_on: date | None = None
    told_before: date | None = None
    times_told: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class ToSeeTo:
    """All of them, the longest overdue first; `after_days` is the club's rule."""

    on: date
    after_days: int
    loans: list[LoanToSeeTo]


def to_see_to(database: Database, now: datetime, *, only_new: bool = False) -> ToSeeTo:
    """What is the officer's to see to today; `only_new`: only loans of which no mail to the officer has told."""
    due = reminders_due(database, now)
    with database.read() as session:
        after_days = int(rules_in_force(session)["remind-officer-days"])
        told = days_told(session)
    found = []
    for reminder in due.reminders:
        loans = [loan for loan in reminder.loans if loan.stage is Stage.OFFICER]
        reach = reach_of(database, reminder.member) if loans else None
        for loan in loans:
            days = told.get(loan.key, [])
            if only_new and days:
                continue
            found.append(
                LoanToSeeTo(
                    member=reminder.member,
                    phone=reach.phone if reach else None,
                    email=reach.email if reach else None,
                    loan=loan,
                    told_on=max(days, default=None),
                    told_before=max((day for day in days if day < due.on), default=None),
                    times_told=len(days),
                )
            )
    return ToSeeTo(
        on=due.on,
        after_days=after_days,
        loans=sorted(found, key=lambda one: (-one.loan.days_over, one.loan.what.casefold())),
    )
