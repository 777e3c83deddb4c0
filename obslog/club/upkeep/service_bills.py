"""The bill of a service: what it cost and used, and when the next is due."""

from dataclasses import astuple, dataclass, replace
from datetime import date

from sqlalchemy.orm import Session

from obslog import fields
from obslog.club.register.typed_values import written
from obslog.errors import WrongInput
from obslog.records.tables.logbook_tables import Equipment, Service
from obslog.records.tables.storeroom import ServiceBill
from obslog.times import months_later


class SeveralDays(WrongInput):
    def __init__(self) -> None:
        super().__init__(
            "The next service is given both as a day and in months.",
            "Give one of --next-on and --next-in-months.",
        )


class NextBeforeThis(WrongInput):
    def __init__(self, next_on: date, done_on: date) -> None:
        super().__init__(
            f"The next service on {next_on} is not after this one on {done_on}.", "Give a later day."
        )


class NightsNotCounted(WrongInput):
    def __init__(self, name: str) -> None:
        super().__init__(
            f"Nights of use are counted for mounts, tubes and eyepieces only, and {name} is none of these.",
            "Say when with --next-in-months, --next-on or --next-when.",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Bill:
    """What is recorded of a service beside the work; `next_in_months` becomes the day `next_on`."""

    cost: float | None = None
    parts: str | None = None
    next_on: date | None = None
    next_in_months: int | None = None
    next_after_nights: int | None = None
    next_when: str | None = None


NO_BILL = Bill()


def checked_bill(bill: Bill, item: Equipment, done_on: date) -> Bill:
    """The bill with its next day worked out.

    Raises OutOfRange, SeveralDays, NextBeforeThis, NightsNotCounted, UnusableText.
    """
    fields.COST.check(bill.cost)
    if bill.next_after_nights is not None:
        if item.kind == "item":
            raise NightsNotCounted(item.name)
        fields.NEXT_AFTER_NIGHTS.check(bill.next_after_nights)
    return replace(
        bill,
        parts=written(bill.parts, "What was used") if bill.parts is not None else None,
        next_on=_next_on(bill, done_on),
        next_in_months=None,
        next_when=written(bill.next_when, "The condition", 500) if bill.next_when is not None else None,
    )


def _next_on(bill: Bill, done_on: date) -> date | None:
    if bill.next_in_months is not None:
        if bill.next_on is not None:
            raise SeveralDays
        fields.NEXT_IN_MONTHS.check(bill.next_in_months)
        return months_later(done_on, bill.next_in_months)
    if bill.next_on is not None and bill.next_on <= done_on:
        raise NextBeforeThis(bill.next_on, done_on)
    return bill.next_on


def add_bill(session: Session, service: Service, bill: Bill) -> None:
    """Write the bill down, where there is one."""
    if any(told is not None for told in astuple(bill)):
        session.add(
            ServiceBill(
                service_id=service.id,
                cost=bill.cost,
                parts=bill.parts,
                next_on=bill.next_on,
                next_after_nights=bill.next_after_nights,
                next_when=bill.next_when,
            )
        )
