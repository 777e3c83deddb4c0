"""The page of one kit or item: its papers, where it is, its photographs, and its history."""

from dataclasses import dataclass
from datetime import date

from obslog.club.register.rule_book import rules_in_force
from obslog.club.register.things import Lendable, lendable, thing_named
from obslog.club.storeroom.inventory_details import Valuation, valuation_of
from obslog.club.storeroom.item_history import Event, history_of
from obslog.club.storeroom.kits import parts_of
from obslog.club.storeroom.proof_files import PhotographLine, ReceiptLine, photographs_of, receipts_of
from obslog.club.storeroom.store_list import StoreLine, store_lines
from obslog.club.upkeep.services_due import DueService, due_of
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Equipment


@dataclass(frozen=True, slots=True, kw_only=True)
class StorePage:
    """All that is on record of a kit or item; the history is in order of time, amounts in the club's currency."""

    papers: StoreLine
    valuation: Valuation | None
    photographs: list[PhotographLine]
    receipts: list[ReceiptLine]
    services_due: list[DueService]
    history: list[Event]
    currency: str | None


def store_page(
    database: Database,
    name: str,
    today: date,
    *,
    kind: str | None = None,
    with_names: bool = False,
    things_only: bool = False,
) -> StorePage:
    """The page of the kit of that name, unless `things_only`, or else of the item. Raises UnknownName, WhichKind."""
    with database.read() as session:
        what: Lendable = thing_named(session, name, kind) if things_only else lendable(session, name, kind)
        keys = (
            {what.id}
            if isinstance(what, Equipment)
            else {part.equipment_id for part in parts_of(session, what)}
        )
        due = due_of(session, {key for key in keys if key is not None}, today)
        return StorePage(
            papers=store_lines(session, with_names=with_names, only=what.id)[0],
            valuation=(
                valuation_of(session, what, with_names=with_names) if isinstance(what, Equipment) else None
            ),
            photographs=photographs_of(session, what) if isinstance(what, Equipment) else [],
            receipts=receipts_of(session, what) if isinstance(what, Equipment) else [],
            services_due=[one for dues in due.values() for one in dues],
            history=history_of(session, what, with_names=with_names),
            currency=rules_in_force(session).currency,
        )
