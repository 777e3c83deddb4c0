"""How a stocktake stands: what should be where and whether it was seen, place by place, and what past counts missed."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.shelves.counting import elsewhere, open_stocktake
from obslog.club.storeroom.custody import Custody, StoreStatus, state_of
from obslog.records.opening import Database
from obslog.records.tables.lending import Loan
from obslog.records.tables.logbook_tables import Equipment, Member
from obslog.records.tables.officer import NotOnRecord, Stocktake, StocktakeTick
from obslog.records.tables.storeroom import Paper

NO_PLACE = "No place on record"


class Found(StrEnum):
    """How an item stands in a count."""

    SEEN = "seen"
    ELSEWHERE = "seen elsewhere"
    NOT_SEEN = "not seen"
    ON_LOAN = "on loan"
    STILL_MISSING = "missing before"
    BACK = "missing before, and seen"
    AGAINST_RECORD = "seen, against the record"
    """It was seen, though by the records it is lent, retired or written off."""


SHOULD_BE_THERE = (Found.SEEN, Found.ELSEWHERE, Found.NOT_SEEN)


@dataclass(frozen=True, slots=True, kw_only=True)
class CountedItem:
    """An item in a count: where it is kept, how it stands, and where it was seen, if that was said."""

    equipment_id: UUID
    name: str
    kind: str
    tag: str | None
    place: str | None
    found: Found
    status: StoreStatus
    seen_at: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class UnknownLine:
    """What was seen and is not on record."""

    text: str
    seen_at: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PastCount:
    """A stocktake that is finished: how many things should have been there, and how many were not."""

    finished_on: date
    member: str | None
    expected: int
    not_found: int

    @property
    def percent(self) -> float | None:
        return 100 * self.not_found / self.expected if self.expected else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """The stocktake that is open, by place and name; and those before it, the newest first."""

    started_on: date
    member: str | None
    items: list[CountedItem]
    not_on_record: list[UnknownLine]
    past: list[PastCount]

    def those(self, *found: Found) -> list[CountedItem]:
        return [item for item in self.items if item.found in found]

    @property
    def expected(self) -> int:
        """How many things should be on the shelves."""
        return len(self.those(*SHOULD_BE_THERE))


def standing(database: Database) -> Standing:
    """How the open stocktake stands. Raises NoStocktake."""
    with database.read() as session:
        return standing_in(session, open_stocktake(session))


def past_counts(database: Database) -> list[PastCount]:
    """The stocktakes that are finished, the newest first."""
    with database.read() as session:
        return _past(session)


def standing_in(session: Session, stocktake: Stocktake) -> Standing:
    unknown = select(NotOnRecord).where(NotOnRecord.stocktake_id == stocktake.id).order_by(NotOnRecord.id)
    member = session.get(Member, stocktake.member_id) if stocktake.member_id else None
    return Standing(
        started_on=stocktake.started_on,
        member=member.name if member else None,
        items=_items(session, stocktake),
        not_on_record=[UnknownLine(line.text, line.found_place) for line in session.scalars(unknown)],
        past=_past(session),
    )


def _items(session: Session, stocktake: Stocktake) -> list[CountedItem]:
    query = select(StocktakeTick).where(StocktakeTick.stocktake_id == stocktake.id)
    ticks = {tick.equipment_id: tick for tick in session.scalars(query)}
    state, lent_on = state_of(session), dict(session.execute(select(Loan.id, Loan.out_on)).all())
    rows = session.execute(
        select(Equipment.id, Equipment.name, Equipment.kind, Paper.tag, Paper.place)
        .outerjoin(Paper, Paper.equipment_id == Equipment.id)
        .order_by(Equipment.name_key, Equipment.id)
    )
    counted = []
    for key, name, kind, tag, place in rows:
        tick = ticks.get(key)
        found = _found(state[key], tick, place, lent_on)
        if found is not None:
            counted.append(
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
                )
            )
    return sorted(counted, key=lambda item: (item.place is None, (item.place or "").casefold()))


def _found(
    now: Custody, tick: StocktakeTick | None, place: str | None, lent_on: Mapping[UUID, date]
) -> Found | None:
    """How an item stands; None for one that is not the club's any more, and was not seen."""
    if now.holder is not None:
        seen_then_lent = tick is None or _day(tick.seen_utc) <= lent_on[now.holder.loan_id]
        return Found.ON_LOAN if seen_then_lent else Found.AGAINST_RECORD
    if now.status in (StoreStatus.RETIRED, StoreStatus.WRITTEN_OFF):
        return Found.AGAINST_RECORD if tick else None
    if now.status is StoreStatus.MISSING:
        return Found.BACK if tick else Found.STILL_MISSING
    if tick is None:
        return Found.NOT_SEEN
    return Found.ELSEWHERE if elsewhere(place, tick.found_place) else Found.SEEN


def _day(instant: datetime) -> date:
    return instant.date()


def _past(session: Session) -> list[PastCount]:
    query = (
        select(Stocktake, Member.name)
        .outerjoin(Member, Stocktake.member_id == Member.id)
        .where(Stocktake.finished_on.is_not(None))
        .order_by(Stocktake.finished_on.desc(), Stocktake.id.desc())
    )
    return [
        PastCount(
            finished_on=one.finished_on, member=name, expected=one.expected or 0, not_found=one.not_found or 0
        )
        for one, name in session.execute(query)
        if one.finished_on is not None
    ]
