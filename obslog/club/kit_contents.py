"""What is in each kit now."""

from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.records.tables.lending import KitPart


def items_of_kits(session: Session) -> dict[UUID, list[UUID]]:
    """The items on record in each kit, in the order in which they joined; parts that are only labels are left out."""
    query = select(KitPart.kit_id, KitPart.equipment_id).where(KitPart.left_on.is_(None)).order_by(KitPart.id)
    found: dict[UUID, list[UUID]] = {}
    for kit, item in session.execute(query):
        if item is not None:
            found.setdefault(kit, []).append(item)
    return found
