"""Finishing a stocktake: first what it would change, then the change, as one act that undo takes back whole."""

from dataclasses import dataclass, replace
from datetime import date, datetime

from sqlalchemy.orm import Session

from obslog.club.shelves.counting import elsewhere, open_stocktake, status_words
from obslog.club.shelves.standing import CountedItem, Found, Standing, standing_in
from obslog.club.storeroom.absences import note_found, note_missing
from obslog.club.storeroom.custody import paper_to_write
from obslog.errors import ObslogError
from obslog.records.opening import Database
from obslog.records.tables.logbook_tables import Equipment
from obslog.records.tables.officer import NotFound


class ChangedMeanwhile(ObslogError):
    def __init__(self) -> None:
        super().__init__(
            "Something was recorded while you looked: what finishing would change is not what you saw.",
            "Nothing was changed. Look again: obslog stocktake finish",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """An item whose place on record is to be that where it was seen."""

    name: str
    tag: str | None
    place: str | None
    seen_at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """What finishing changes, or with `done` has changed, and what is left for a person to settle."""

    started_on: date
    finished_on: date
    done: bool
    expected: int
    seen: int
    goes_missing: list[str]
    comes_back: list[str]
    moved: list[Moved]
    against_record: list[str]
    not_on_record: list[str]


def what_would_change(database: Database, now: datetime) -> Finish:
    """What finishing the open stocktake would change. Raises NoStocktake."""
    with database.read() as session:
        return _plan(standing_in(session, open_stocktake(session)), now.date())


def finish(database: Database, now: datetime, seen_before: Finish | None = None) -> Finish:
    """Finish the open stocktake; `seen_before` is the plan that a person agreed to.

    Raises NoStocktake, ChangedMeanwhile.
    """
    with database.write(now, "finish the stocktake") as session:
        stocktake = open_stocktake(session)
        now_standing = standing_in(session, stocktake)
        plan = _plan(now_standing, now.date())
        if seen_before is not None and plan != seen_before:
            raise ChangedMeanwhile
        for item in now_standing.items:
            _settle(session, item, plan.finished_on)
        session.add_all(
            NotFound(stocktake_id=stocktake.id, equipment_id=item.equipment_id)
            for item in now_standing.those(Found.NOT_SEEN)
        )
        stocktake.finished_on = plan.finished_on
        stocktake.expected, stocktake.not_found = plan.expected, len(plan.goes_missing)
    return replace(plan, done=True)


def _plan(now: Standing, today: date) -> Finish:
    missing = now.those(Found.NOT_SEEN)
    return Finish(
        started_on=now.started_on,
        finished_on=max(today, now.started_on),  # a clock may have been set back
        done=False,
        expected=now.expected,
        seen=now.expected - len(missing),
        goes_missing=[item.name for item in missing],
        comes_back=[item.name for item in now.those(Found.BACK)],
        moved=[
            Moved(name=item.name, tag=item.tag, place=item.place, seen_at=item.seen_at)
            for item in now.items
            if item.seen_at is not None and _moves(item)
        ],
        against_record=[
            f"{item.name} ({status_words(item.status)})" for item in now.those(Found.AGAINST_RECORD)
        ],
        not_on_record=[line.text for line in now.not_on_record],
    )


def _moves(item: CountedItem) -> bool:
    """Whether its place on record becomes that where it was seen; what is lent or retired keeps its place."""
    return item.found in (Found.ELSEWHERE, Found.BACK) and elsewhere(item.place, item.seen_at)


def _settle(session: Session, item: CountedItem, today: date) -> None:
    thing = session.get_one(Equipment, item.equipment_id)
    if item.found is Found.NOT_SEEN:
        note_missing(session, thing, today)
    if item.found is Found.BACK:
        note_found(session, thing, today)
    if _moves(item):
        paper_to_write(session, thing.id).place = item.seen_at
