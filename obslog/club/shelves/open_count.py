"""How each item, and each part of a kit that is only a label, stands in an open stocktake by the records of now."""

from collections.abc import Mapping
from datetime import date
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.register.club_day import days_of
from obslog.club.shelves.count_records import CountedItem, CountedPart, elsewhere
from obslog.club.storeroom.custody import Custody, StoreStatus, state_of, state_of_part
from obslog.records.tables.base import name_key
from obslog.records.tables.lending import Kit, KitPart, Loan
from obslog.records.tables.logbook_tables import Equipment
from obslog.records.tables.officer import Stocktake, StocktakePart, StocktakeTick
from obslog.records.tables.storeroom import Paper
from obslog.vocabulary.storeroom import Found


def items_now(session: Session, stocktake: Stocktake) -> list[CountedItem]:
    """The items by place and name; what is not the club's any more only where it was seen."""
    query = select(StocktakeTick).where(StocktakeTick.stocktake_id == stocktake.id)
    ticks, day_of = {tick.equipment_id: tick for tick in session.scalars(query)}, days_of(session)
    seen_on = {key: day_of(tick.seen_utc) for key, tick in ticks.items()}
    state, lent_on = state_of(session), dict(session.execute(select(Loan.id, Loan.out_on)).all())
    rows = session.execute(
        select(Equipment.id, Equipment.name, Equipment.kind, Paper.tag, Paper.place, Paper.value)
        .outerjoin(Paper, Paper.equipment_id == Equipment.id)
        .order_by(Equipment.name_key, Equipment.id)
    )
    items = []
    for key, name, kind, tag, place, value in rows:
        tick = ticks.get(key)
        found = _found(state[key], tick, place, seen_on.get(key), lent_on)
        if found is not None:
            items.append(
                CountedItem(
                    equipment_id=key,
                    name=name,
                    kind=kind,
                    tag=tag,
                    place=place,
                    found=found,
                    status=state[key].status,
                    seen_at=tick.found_place if tick else None,
                    note=tick.note if tick else None,
                    value=value,
                )
            )
    return by_place(items)


def by_place(items: list[CountedItem]) -> list[CountedItem]:
    """The items by their places, in their order within a place; those without one last."""
    return sorted(items, key=lambda item: (item.place is None, name_key(item.place or "")))


def _found(
    now: Custody,
    tick: StocktakeTick | None,
    place: str | None,
    seen_on: date | None,
    lent_on: Mapping[UUID, date],
) -> Found | None:
    """How an item stands; None for one that is not the club's any more, and was not seen."""
    if now.holder is not None:
        seen_then_lent = seen_on is None or seen_on <= lent_on[now.holder.loan_id]
        return Found.ON_LOAN if seen_then_lent else Found.AGAINST_RECORD
    if now.status in (StoreStatus.RETIRED, StoreStatus.WRITTEN_OFF):
        return Found.AGAINST_RECORD if tick else None
    if now.status is StoreStatus.MISSING:
        return Found.BACK if tick else Found.STILL_MISSING
    if tick is None:
        return Found.NOT_SEEN
    return Found.ELSEWHERE if elsewhere(place, tick.found_place) else Found.SEEN


def parts_now(session: Session, stocktake: Stocktake) -> list[CountedPart]:
    """The parts of kits in use that are only labels, by kit and in the order in which they joined it."""
    query = select(StocktakePart.kit_part_id, StocktakePart.there).where(
        StocktakePart.stocktake_id == stocktake.id
    )
    there = dict(session.execute(query).all())
    state = state_of(session)
    rows = session.execute(
        select(KitPart, Kit.name)
        .join(Kit, KitPart.kit_id == Kit.id)
        .where(KitPart.left_on.is_(None), KitPart.equipment_id.is_(None), Kit.retired_on.is_(None))
        .order_by(Kit.name_key, KitPart.id)
    )
    parts = []
    for part, kit in rows:
        status = state_of_part(part, state).status
        parts.append(
            CountedPart(
                kit_part_id=part.id,
                kit=kit,
                part=part.label,
                found=_part_found(status, there.get(part.id)),
                status=status,
            )
        )
    return parts


def _part_found(status: StoreStatus, there: bool | None) -> Found:
    """How a part stands; `there` is None where nobody looked through its kit."""
    if status is StoreStatus.OUT:
        return Found.ON_LOAN
    if status is StoreStatus.MISSING:
        return Found.BACK if there else Found.STILL_MISSING
    if there is None:
        return Found.NOT_LOOKED_AT
    return Found.SEEN if there else Found.NOT_SEEN
