"""The page of one kit or thing: its papers, where it is, its photographs, and its history."""

from dataclasses import dataclass
from datetime import date

from obslog.club.register.things import Lendable, lendable, thing_named
from obslog.club.storeroom.inventory_details import PhotographLine, photographs_of
from obslog.club.storeroom.kits import parts_of
from obslog.club.storeroom.store_history import Event, history_of
from obslog.club.storeroom.store_list import StoreLine, store_lines
from obslog.club.upkeep.services_due import DueService, due_of
from obslog.records.opening import Database
from obslog.records.tables.logbook_tables import Equipment


@dataclass(frozen=True, slots=True)
class StorePage:
    """All that is on record of a kit or thing; the history is in order of time."""

    papers: StoreLine
    photographs: list[PhotographLine]
    services_due: list[DueService]
    history: list[Event]


def store_page(
    database: Database,
    name: str,
    today: date,
    *,
    kind: str | None = None,
    with_names: bool = False,
    things_only: bool = False,
) -> StorePage:
    """The page of the kit of that name, unless `things_only`, or else of the thing. Raises UnknownName, WhichKind."""
    with database.read() as session:
        what: Lendable = thing_named(session, name, kind) if things_only else lendable(session, name, kind)
        keys = (
            {what.id}
            if isinstance(what, Equipment)
            else {part.equipment_id for part in parts_of(session, what)}
        )
        due = due_of(session, {key for key in keys if key is not None}, today)
        return StorePage(
            store_lines(session, with_names=with_names, only=what.id)[0],
            photographs_of(session, what) if isinstance(what, Equipment) else [],
            [one for dues in due.values() for one in dues],
            history_of(session, what, with_names=with_names),
        )
