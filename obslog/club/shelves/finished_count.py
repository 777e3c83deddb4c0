"""What a finished stocktake found: kept when it is finished, and read again as it was, whatever has changed since."""

from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.shelves.count_records import CountedItem, CountedPart, Standing, elsewhere
from obslog.club.shelves.open_count import by_place
from obslog.club.storeroom.custody import StoreStatus
from obslog.records.history.noted_rows import insert_noted
from obslog.records.tables.keys import new_key
from obslog.records.tables.logbook_tables import Equipment
from obslog.records.tables.officer import NotFound, Stocktake, StocktakeLine, StocktakeTick
from obslog.records.tables.storeroom import Paper
from obslog.vocabulary.storeroom import Found


def keep(session: Session, stocktake: Stocktake, now: Standing) -> None:
    """Keep how each item and part stands, and by itself what was not found, in the act that finishes the stocktake."""
    insert_noted(
        session,
        StocktakeLine,
        [
            {
                "id": new_key(),
                "stocktake_id": stocktake.id,
                "equipment_id": item.equipment_id,
                "found": item.found,
                "status": str(item.status),
                "name": item.name,
                "tag": item.tag,
                "place": item.place,
                "value": item.value,
            }
            for item in now.items
        ],
    )
    insert_noted(
        session,
        StocktakeLine,
        [
            {
                "id": new_key(),
                "stocktake_id": stocktake.id,
                "kit_part_id": part.kit_part_id,
                "found": part.found,
                "status": str(part.status),
                "name": part.part,
                "kit": part.kit,
            }
            for part in now.parts
        ],
    )
    insert_noted(
        session,
        NotFound,
        [
            {"id": new_key(), "stocktake_id": stocktake.id, "equipment_id": item.equipment_id}
            for item in now.those(Found.NOT_SEEN)
        ],
    )


def kept_whole(session: Session, stocktake: Stocktake) -> bool:
    """Whether it was kept how each item stood; a club without items has nothing to keep."""
    line = session.scalar(select(StocktakeLine.id).where(StocktakeLine.stocktake_id == stocktake.id).limit(1))
    return line is not None or not stocktake.expected


def items_then(session: Session, stocktake: Stocktake) -> list[CountedItem]:
    """The items as they stood, by place and name; where that was not kept, those that were ticked or not found."""
    ticks = _ticks(session, stocktake)
    rows = session.execute(
        select(StocktakeLine, Equipment.kind)
        .join(Equipment, StocktakeLine.equipment_id == Equipment.id)
        .where(StocktakeLine.stocktake_id == stocktake.id)
        .order_by(StocktakeLine.id)
    )
    items = []
    for line, kind in rows:
        if line.equipment_id is None:  # of a part
            continue
        tick = ticks.get(line.equipment_id)
        items.append(
            CountedItem(
                equipment_id=line.equipment_id,
                name=line.name,
                kind=kind,
                tag=line.tag,
                place=line.place,
                found=line.found,
                status=StoreStatus(line.status),
                seen_at=tick.found_place if tick else None,
                note=tick.note if tick else None,
                value=line.value,
            )
        )
    return by_place(items or _as_far_as_kept(session, stocktake))


def parts_then(session: Session, stocktake: Stocktake) -> list[CountedPart]:
    query = (
        select(StocktakeLine)
        .where(StocktakeLine.stocktake_id == stocktake.id, StocktakeLine.kit_part_id.is_not(None))
        .order_by(StocktakeLine.id)
    )
    return [
        CountedPart(
            kit_part_id=line.kit_part_id,
            kit=line.kit or "",
            part=line.name,
            found=line.found,
            status=StoreStatus(line.status),
        )
        for line in session.scalars(query)
        if line.kit_part_id is not None
    ]


def _ticks(session: Session, stocktake: Stocktake) -> dict[UUID, StocktakeTick]:
    query = select(StocktakeTick).where(StocktakeTick.stocktake_id == stocktake.id)
    return {tick.equipment_id: tick for tick in session.scalars(query)}


def _as_far_as_kept(session: Session, stocktake: Stocktake) -> list[CountedItem]:
    """What was ticked and what was not found, by the names of now: of a time when no more was kept."""
    ticks = _ticks(session, stocktake)
    lost = set(
        session.scalars(select(NotFound.equipment_id).where(NotFound.stocktake_id == stocktake.id)).all()
    )
    query = (
        select(Equipment.id, Equipment.name, Equipment.kind, Paper.tag, Paper.place)
        .outerjoin(Paper, Paper.equipment_id == Equipment.id)
        .where(Equipment.id.in_({*ticks, *lost}))
        .order_by(Equipment.name_key, Equipment.id)
    )
    items = []
    for key, name, kind, tag, place in session.execute(query):
        tick = ticks.get(key)
        seen_at = tick.found_place if tick else None
        seen = Found.ELSEWHERE if elsewhere(place, seen_at) else Found.SEEN
        items.append(
            CountedItem(
                equipment_id=key,
                name=name,
                kind=kind,
                tag=tag,
                place=place,
                found=Found.NOT_SEEN if key in lost else seen,
                status=StoreStatus.IN,
                seen_at=seen_at,
                note=tick.note if tick else None,
            )
        )
    return items
