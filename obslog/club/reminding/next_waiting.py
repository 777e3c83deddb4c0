"""Who is next in each waiting list, and whether what they wait for is there to be collected."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from sqlalchemy.orm import Session

from obslog.club.register.club_day import days_of
from obslog.club.reminding.history import days_written
from obslog.club.storeroom.custody import Holder, state_of
from obslog.club.storeroom.loan_pages import named
from obslog.club.storeroom.loan_parts import could_be_lent
from obslog.club.storeroom.waiting_list import still_waits
from obslog.records.tables.lending import Reservation


@dataclass(frozen=True, slots=True, kw_only=True)
class NextWaiting:
    """Who comes next for a kit or an item. `there`: it can be collected, of a kit what is there of it; else `due_on`
    says when it is to be back, or `for_service` that it is in the store, but the review finds it for service.

    `key` is that of the place in the list; `member` is None where it is not told who. `reminded_on` is the last day
    on which they were written to that it is there, None where they were not yet.
    """

    key: UUID
    what: str
    kind: str
    member: str | None
    asked_on: date
    waiting: int
    there: bool
    for_service: bool
    due_on: date | None
    reminded_on: date | None
    times_reminded: int


def next_for_each(session: Session, today: date) -> list[tuple[UUID, NextWaiting]]:
    """The first of each waiting list, with the key of the member, by the name of what is waited for."""
    query = named(Reservation).where(still_waits()).order_by(Reservation.asked_utc, Reservation.id)
    queues: dict[UUID, list[tuple[Reservation, str, str, str]]] = {}
    for reservation, member, what, kind in session.execute(query):
        thing = reservation.kit_id or reservation.equipment_id
        assert thing is not None  # the table's own check: one of the two
        queues.setdefault(thing, []).append((reservation, member, what, kind))
    state = state_of(session, with_names=False) if queues else {}
    there = could_be_lent(session, state) if queues else set()
    wants_service = _for_service(session, today) if there & queues.keys() else set()
    written = days_written(session) if queues else {}
    day_of = days_of(session)
    found = [
        _first(
            queue,
            day_of(queue[0][0].asked_utc),
            state[thing].holder,
            in_store=thing in there,
            wants_service=wants_service,
            written=written,
        )
        for thing, queue in queues.items()
    ]
    return sorted(found, key=lambda pair: (pair[1].what.casefold(), pair[1].kind))


def _for_service(session: Session, today: date) -> set[tuple[str, str]]:
    """Loaded where somebody waits for what is there: the review needs the numbers of all nights."""
    from obslog.club.review.review import for_service

    return for_service(session, today)


def _first(
    queue: list[tuple[Reservation, str, str, str]],
    asked_on: date,
    holder: Holder | None,
    *,
    in_store: bool,
    wants_service: Collection[tuple[str, str]],
    written: Mapping[UUID, Sequence[date]],
) -> tuple[UUID, NextWaiting]:
    reservation, member, what, kind = queue[0]
    days = written.get(reservation.id, [])
    to_mend = in_store and (kind, what) in wants_service
    return reservation.member_id, NextWaiting(
        key=reservation.id,
        what=what,
        kind=kind,
        member=member,
        asked_on=asked_on,
        waiting=len(queue),
        there=in_store and not to_mend,
        for_service=to_mend,
        due_on=holder.due_on if holder else None,
        reminded_on=days[-1] if days else None,
        times_reminded=len(days),
    )
