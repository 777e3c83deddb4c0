"""How a stocktake stands, or stood when it was finished: what should be where and whether it was seen, place by place.

Of one that is open it is told from the records as they are now; of a finished one from what was kept on that day.
"""

from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.shelves.count_records import (
    CountedItem,
    CountedPart,
    PastCount,
    Standing,
    UnknownLine,
    changes_of,
)
from obslog.club.shelves.counting import NoStocktake, open_stocktake_or_none
from obslog.club.shelves.finished_count import items_then, kept_whole, parts_then
from obslog.club.shelves.open_count import items_now, parts_now
from obslog.errors import ObslogError
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Member
from obslog.records.tables.officer import NotOnRecord, Stocktake
from obslog.vocabulary.storeroom import Found


class NoStocktakeOn(ObslogError):
    def __init__(self, day: date) -> None:
        super().__init__(
            f"No stocktake was open on {day}.", "Those on record, with their days: obslog stocktake past"
        )


def standing(database: Database, day: date | None = None) -> Standing:
    """How the stocktake of that day stands or stood; without a day the open one, else the last that was finished.

    Raises NoStocktake, NoStocktakeOn.
    """
    with database.read() as session:
        return standing_in(session, stocktake_of(session, day))


def stocktake_of(session: Session, day: date | None = None) -> Stocktake:
    """The stocktake that was finished on that day, else begun, else going on; the newest of several.

    Raises NoStocktake, NoStocktakeOn.
    """
    newest = session.scalars(
        select(Stocktake).order_by(Stocktake.started_on.desc(), Stocktake.id.desc())
    ).all()
    if day is None:
        found = open_stocktake_or_none(session) or max(newest, key=_finished, default=None)
        if found is None:
            raise NoStocktake
        return found
    for fits in (_finished_on, _begun_on, _going_on):
        if (one := next((one for one in newest if fits(one, day)), None)) is not None:
            return one
    raise NoStocktakeOn(day)


def _finished(one: Stocktake) -> tuple[date, str]:
    return one.finished_on or one.started_on, str(one.id)


def _finished_on(one: Stocktake, day: date) -> bool:
    return one.finished_on == day


def _begun_on(one: Stocktake, day: date) -> bool:
    return one.started_on == day


def _going_on(one: Stocktake, day: date) -> bool:
    return one.started_on <= day and (one.finished_on is None or day <= one.finished_on)


def past_counts(database: Database) -> list[PastCount]:
    """The stocktakes that are finished, the newest first."""
    with database.read() as session:
        return [past for _, past in _past(session)]


def standing_in(session: Session, stocktake: Stocktake) -> Standing:
    unknown = select(NotOnRecord).where(NotOnRecord.stocktake_id == stocktake.id).order_by(NotOnRecord.id)
    member = session.get(Member, stocktake.member_id) if stocktake.member_id else None
    items, parts = counted(session, stocktake)
    not_seen = sum(item.found is Found.NOT_SEEN for item in items)
    shelved = sum(item.should_be_there for item in items)
    finished = stocktake.finished_on is not None
    return Standing(
        started_on=stocktake.started_on,
        finished_on=stocktake.finished_on,
        member=member.name if member else None,
        expected=stocktake.expected or 0 if finished else shelved,
        not_seen=stocktake.not_found or 0 if finished else not_seen,
        items=items,
        parts=parts,
        # Two laptops may have typed the same.
        not_on_record=list(
            dict.fromkeys(UnknownLine(line.text, line.found_place) for line in session.scalars(unknown))
        ),
        whole=not finished or kept_whole(session, stocktake),
        changes=changes_of(items, parts),
        past=[past for one, past in _past(session) if _before(one, stocktake)],
    )


def counted(session: Session, stocktake: Stocktake) -> tuple[list[CountedItem], list[CountedPart]]:
    """The items and the parts that are only labels, as they stand in the stocktake, or stood when it was finished."""
    if stocktake.finished_on is None:
        return items_now(session, stocktake), parts_now(session, stocktake)
    return items_then(session, stocktake), parts_then(session, stocktake)


def _before(one: Stocktake, other: Stocktake) -> bool:
    return other.finished_on is None or _finished(one) < _finished(other)


def _past(session: Session) -> list[tuple[Stocktake, PastCount]]:
    query = (
        select(Stocktake, Member.name)
        .outerjoin(Member, Stocktake.member_id == Member.id)
        .where(Stocktake.finished_on.is_not(None))
        .order_by(Stocktake.finished_on.desc(), Stocktake.id.desc())
    )
    return [
        (
            one,
            PastCount(
                started_on=one.started_on,
                finished_on=one.finished_on,
                member=name,
                expected=one.expected or 0,
                not_found=one.not_found or 0,
            ),
        )
        for one, name in session.execute(query)
        if one.finished_on is not None
    ]
