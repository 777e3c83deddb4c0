"""Looking through a kit in a stocktake: whether its parts that are only labels are there, such as a dust cap.

What is on record by itself has to be ticked by itself, also inside a kit: a kit that is said to be complete must not
tick what nobody held in their hands.
"""

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.shelves.seen import Seen, SeenOutcome
from obslog.club.storeroom.custody import StoreStatus, state_of
from obslog.club.storeroom.kits import part_named, parts_of
from obslog.errors import ObslogError
from obslog.records.history.recorder import call_act
from obslog.records.tables.lending import Kit, KitPart
from obslog.records.tables.officer import Stocktake, StocktakePart, StocktakeTick


class TickedAlready(ObslogError):
    def __init__(self, part: str, kit: str) -> None:
        super().__init__(
            f"{part} of {kit} was ticked in this stocktake: it cannot be missing.",
            "Take the wrong tick back: obslog history, then obslog undo REFERENCE",
        )


def look_through(
    session: Session, stocktake: Stocktake, kit: Kit, text: str, now: datetime, without: Sequence[str]
) -> Seen:
    """Note which of the kit's parts that are only labels are there: all but those named in `without`.

    Said again it counts anew. An item may be named as well; it is not found where it is not ticked.
    Raises UnknownName, TickedAlready.
    """
    parts = parts_of(session, kit)
    missing = [part_named(session, kit, name) for name in dict.fromkeys(without)]
    ticked = set(
        session.scalars(
            select(StocktakeTick.equipment_id).where(StocktakeTick.stocktake_id == stocktake.id)
        ).all()
    )
    wrong = next((part for part in missing if part.equipment_id in ticked), None)
    if wrong is not None:
        raise TickedAlready(wrong.label, kit.name)
    labels = [part for part in parts if part.equipment_id is None]
    if labels:
        call_act(session, f"looked through {kit.name} in the stocktake")
        _note(session, stocktake, labels, missing, now)
    state = state_of(session)
    return Seen(
        text=text,
        outcome=SeenOutcome.A_KIT,
        name=kit.name,
        status=state[kit.id].status,
        parts_there=tuple(part.label for part in labels if part not in missing),
        parts_missing=tuple(part.label for part in missing),
        to_tick=tuple(
            part.label
            for part in parts
            if part.equipment_id is not None
            and part.equipment_id not in ticked
            and part not in missing
            and state[part.equipment_id].status is StoreStatus.IN
        ),
    )


def _note(
    session: Session,
    stocktake: Stocktake,
    labels: Sequence[KitPart],
    missing: Sequence[KitPart],
    now: datetime,
) -> None:
    known = {
        one.kit_part_id: one
        for one in session.scalars(select(StocktakePart).where(StocktakePart.stocktake_id == stocktake.id))
    }
    for part in labels:
        there = part not in missing
        if (one := known.get(part.id)) is None:
            session.add(
                StocktakePart(stocktake_id=stocktake.id, kit_part_id=part.id, seen_utc=now, there=there)
            )
        else:
            one.there, one.seen_utc = there, now
