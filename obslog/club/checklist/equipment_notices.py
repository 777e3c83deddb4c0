"""What the store-room has to say before a night: loans of the kit in question, and services that are due."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.kit_contents import items_of_kits
from obslog.club.register.rule_book import rules_in_force
from obslog.club.storeroom.custody import state_of
from obslog.club.upkeep.services_due import DueBy, due_of
from obslog.records.tables.lending import Kit, Loan
from obslog.records.tables.logbook_tables import Equipment


@dataclass(frozen=True, slots=True)
class Notice:
    """One line about a thing: that it is on loan, or due for service; who has it is not said.

    About a step, that the club has left it out and it went wrong here.
    """

    about: Literal["loan", "service", "step"]
    name: str
    due_on: date | None
    words: str


class KitNotices:
    """Looked up once for an evening: what is out, and what is due by then."""

    def __init__(self, session: Session, night: date) -> None:
        grace = timedelta(days=int(rules_in_force(session)["overdue-out"]))
        self._overdue_before = night - grace
        self._state, self._due = state_of(session), due_of(session, None, night)
        things = session.execute(select(Equipment.id, Equipment.kind, Equipment.name)).all()
        self._names = {key: name for key, _, name in things}
        self._tubes = {name: key for key, kind, name in things if kind == "tube"}
        loans = select(Loan.id, Kit.name).join(Kit, Loan.kit_id == Kit.id).where(Loan.back_on.is_(None))
        self._kit_of_loan = dict(session.execute(loans).all())
        self._kits = items_of_kits(session)

    def about(self, mount: UUID, tube: str | None = None) -> list[Notice]:
        """The notices on a mount, the tube that goes on it, and what shares a kit with the mount; loans first."""
        things = [mount, *([self._tubes[tube]] if tube in self._tubes else [])]
        for parts in self._kits.values():
            if mount in parts:
                things += parts
        things = list(dict.fromkeys(things))
        return [*self._loans(things), *self._services(things)]

    def _loans(self, things: list[UUID]) -> Iterator[Notice]:
        told = set()
        for thing in things:
            holder = self._state[thing].holder
            if holder is None or holder.loan_id in told:
                continue
            told.add(holder.loan_id)
            name = self._kit_of_loan.get(holder.loan_id, self._names[thing])
            late = ", overdue" if holder.due_on < self._overdue_before else ""
            yield Notice("loan", name, holder.due_on, f"{name} is on loan, due back on {holder.due_on}{late}")

    def _services(self, things: list[UUID]) -> Iterator[Notice]:
        for thing in things:
            for due in self._due.get(thing, []):
                if due.basis is not DueBy.CONDITION:
                    yield Notice("service", due.name, due.due_on, f"{due.name}: {due.words}")
