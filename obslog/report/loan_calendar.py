"""Due dates as an iCalendar file (RFC 5545): an event a loan, known again by its loan's key.

A second export updates the first: a renewal raises the event's number, and a loan that is back is cancelled.
"""

from collections.abc import Iterable
from datetime import datetime, timedelta
from uuid import UUID

from obslog.club.storeroom.loan_pages import LoanLine

PRODUCT = "-//obslog//loans//EN"


def loan_calendar(loans: Iterable[tuple[UUID, LoanLine]], now: datetime, *, with_names: bool) -> bytes:
    """The calendar of these loans; who has what only where asked.

    Source: RFC 5545 sections 3.6.1 (events), 3.8.4.7 (UID), 3.8.7.4 (SEQUENCE), 3.8.1.11 (STATUS).
    """
    from icalendar import Calendar, Event

    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    for key, loan in loans:
        event = Event()
        event.add("uid", f"{key}")
        event.add("dtstamp", now)
        event.add("sequence", loan.renewals + (1 if loan.back_on else 0))
        event.add("summary", f"Due back: {loan.what}" + (f" ({loan.member})" if with_names else ""))
        event.add("dtstart", loan.due_on)
        event.add("dtend", loan.due_on + timedelta(days=1))
        event.add("transp", "TRANSPARENT")
        event.add("status", "CANCELLED" if loan.back_on else "CONFIRMED")
        calendar.add_component(event)
    return bytes(calendar.to_ical())
