"""The waiting list of each kit and item, in the order of asking."""

from dataclasses import dataclass, replace
from datetime import date, datetime

from sqlalchemy import ColumnElement, Select, select
from sqlalchemy.orm import Session

from obslog.club.register.club_day import day_in, days_of
from obslog.club.register.things import Lendable, kind_word, lendable
from obslog.club.storeroom.custody import name_told, open_loan
from obslog.errors import ObslogError, WrongInput, quoted
from obslog.records.database import Database
from obslog.records.history.recorder import call_act
from obslog.records.merging.same_aliases import close_waiting
from obslog.records.name_lookup import by_name, member_here
from obslog.records.tables.lending import Kit, Reservation
from obslog.records.tables.logbook_tables import Equipment, Member


class NoBorrower(ObslogError):
    def __init__(self, member: str, retired_on: date) -> None:
        super().__init__(
            f"{member} was retired on {retired_on} and cannot borrow.", "See the members: obslog member list"
        )


def refuse_retired_borrower(borrower: Member) -> None:
    """Raises NoBorrower."""
    if borrower.retired_on is not None:
        raise NoBorrower(borrower.name, borrower.retired_on)


class NotFirst(ObslogError):
    def __init__(self, what: str) -> None:
        super().__init__(
            f"Somebody else is first in the waiting list for {what}.",
            f"See who waits: obslog loan waiting {quoted(what)} --officer; --pass-over lends it all the same.",
        )


class SomebodyWaits(ObslogError):
    def __init__(self, what: str) -> None:
        super().__init__(
            f"Somebody waits for {what}, so the loan cannot be extended.",
            f"Take it back, or pass it on: obslog loan hand-over {quoted(what)} MEMBER",
        )


class WaitsAlready(WrongInput):
    def __init__(self, what: str, member: str) -> None:
        super().__init__(f"{member} waits for {what} already.", f"See: obslog loan waiting {quoted(what)}")


class HasIt(WrongInput):
    def __init__(self, what: str, member: str) -> None:
        super().__init__(f"{member} has {what}.", f"To keep it longer: obslog loan renew {quoted(what)}")


class DoesNotWait(ObslogError):
    def __init__(self, what: str, member: str) -> None:
        super().__init__(f"{member} does not wait for {what}.", "See who does: obslog loan waiting")


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitingLine:
    """Somebody who waits; `place` is 1 for the next. `member` is None where it is not told who.

    `asked_on` is the day by the clocks of the club.
    """

    what: str
    kind: str
    place: int
    member: str | None
    asked_utc: datetime
    asked_on: date


def reserve(
    database: Database, name: str, member: str, now: datetime, *, kind: str | None = None
) -> list[WaitingLine]:
    """Put a member at the end of the waiting list. Raises UnknownName, WhichKind, NoBorrower, WaitsAlready, HasIt."""
    with database.write(now, f"reserve {name} for {member}") as session:
        what, who = lendable(session, name, kind), member_here(session, member)
        call_act(session, f"reserve {what.name} for {who.name}")
        refuse_retired_borrower(who)
        loan = open_loan(session, what)
        if loan is not None and loan.member_id == who.id:
            raise HasIt(what.name, who.name)
        if any(waiting.member_id == who.id for waiting in _queue(session, what)):
            raise WaitsAlready(what.name, who.name)
        is_kit = isinstance(what, Kit)
        session.add(
            Reservation(
                member_id=who.id,
                asked_utc=now,
                kit_id=what.id if is_kit else None,
                equipment_id=None if is_kit else what.id,
            )
        )
        session.flush()
        return _lines(session, what)


def withdraw(
    database: Database, name: str, member: str, now: datetime, *, kind: str | None = None
) -> list[WaitingLine]:
    """Take a member off the waiting list. Raises UnknownName, WhichKind, DoesNotWait."""
    with database.write(now, f"take {member} off the waiting list for {name}") as session:
        what, who = lendable(session, name, kind), by_name(session, Member, member)
        call_act(session, f"take {who.name} off the waiting list for {what.name}")
        found = next((waiting for waiting in _queue(session, what) if waiting.member_id == who.id), None)
        if found is None:
            raise DoesNotWait(what.name, who.name)
        _close(session, found, day_in(session, now), served=False)
        session.flush()
        return _lines(session, what)


def waiting_list(database: Database, name: str | None = None, kind: str | None = None) -> list[WaitingLine]:
    """Who waits for one kit or item, or for each; in order."""
    with database.read() as session:
        if name is not None:
            return _lines(session, lendable(session, name, kind))
        wanted = session.scalars(select(Reservation).where(still_waits())).all()
        kits = {reservation.kit_id for reservation in wanted}
        items = {reservation.equipment_id for reservation in wanted}
        found: list[Lendable] = [
            *session.scalars(select(Kit).where(Kit.id.in_(kits)).order_by(Kit.name_key)),
            *session.scalars(select(Equipment).where(Equipment.id.in_(items)).order_by(Equipment.name_key)),
        ]
        return [line for what in found for line in _lines(session, what)]


def without_names(lines: list[WaitingLine], but: str | None = None) -> list[WaitingLine]:
    """The list as any member may see it: how many wait, since when; of names only one's own."""
    return [replace(line, member=name_told(line.member, with_names=False, but=but)) for line in lines]


def still_waits() -> ColumnElement[bool]:
    """Of a place: nobody closed it, and its member has not left, as a laptop that wrote it need not have heard."""
    here = select(Member.id).where(Member.retired_on.is_(None))
    return Reservation.closed_on.is_(None) & Reservation.member_id.in_(here)


def first_waiting(session: Session, what: Lendable) -> Member | None:
    """Who comes next; None where nobody waits."""
    queue = session.scalars(_of(what)).first()
    return session.get(Member, queue.member_id) if queue else None


def serve(session: Session, what: Lendable, member: Member, on: date) -> None:
    """Close the member's place in the list, now that they have it."""
    for waiting in _queue(session, what):
        if waiting.member_id == member.id:
            _close(session, waiting, on, served=True)
    session.flush()


def give_up_places(session: Session, member: Member, on: date) -> None:
    """Take somebody off all waiting lists, who else would stand in the way of those behind."""
    query = select(Reservation).where(Reservation.member_id == member.id, Reservation.closed_on.is_(None))
    for place in session.scalars(query):
        _close(session, place, on, served=False)


def _close(session: Session, place: Reservation, on: date, *, served: bool) -> None:
    """End a place in the list, and another of the same member that two laptops have given them."""
    place.closed_on, place.served = on, served
    same = {
        "member_id": str(place.member_id),
        "kit_id": str(place.kit_id) if place.kit_id else None,
        "equipment_id": str(place.equipment_id) if place.equipment_id else None,
    }
    closed = {"closed_on": on.isoformat(), "served": int(served)}
    close_waiting(
        session, Reservation, same, lambda image: image if image.get("closed_on") else {**image, **closed}
    )


def _of(what: Lendable) -> Select[Reservation]:
    column = Reservation.kit_id if isinstance(what, Kit) else Reservation.equipment_id
    return (
        select(Reservation)
        .where(column == what.id, still_waits())
        .order_by(Reservation.asked_utc, Reservation.id)
    )


def _queue(session: Session, what: Lendable) -> list[Reservation]:
    return list(session.scalars(_of(what)))


def _lines(session: Session, what: Lendable) -> list[WaitingLine]:
    lines, day_of = [], days_of(session)
    for place, waiting in enumerate(_queue(session, what), start=1):
        member = session.get(Member, waiting.member_id)
        assert member is not None
        lines.append(
            WaitingLine(
                what=what.name,
                kind=kind_word(what),
                place=place,
                member=member.name,
                asked_utc=waiting.asked_utc,
                asked_on=day_of(waiting.asked_utc),
            )
        )
    return lines
