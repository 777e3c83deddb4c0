"""Finishing a stocktake: first what it would change, then the change, as one act that undo takes back whole."""

from dataclasses import dataclass, replace
from datetime import date, datetime

from sqlalchemy.orm import Session

from obslog.club.absences import note_found, note_missing
from obslog.club.register.club_day import day_in
from obslog.club.shelves.count_records import CountedItem, CountedPart, Moved, Standing
from obslog.club.shelves.counting import open_stocktake
from obslog.club.shelves.finished_count import keep
from obslog.club.shelves.seen import status_words
from obslog.club.shelves.standing import standing_in
from obslog.club.storeroom.custody import paper_to_write
from obslog.errors import ObslogError
from obslog.records.database import Database
from obslog.records.merging.same_aliases import keep_as_one
from obslog.records.tables.lending import KitPart
from obslog.records.tables.logbook_tables import Equipment
from obslog.records.tables.officer import Stocktake
from obslog.vocabulary.storeroom import Found


class ChangedMeanwhile(ObslogError):
    def __init__(self) -> None:
        super().__init__(
            "Something was recorded while you looked: what finishing would change is not what you saw.",
            "Nothing was changed. Look again: obslog stocktake finish",
        )


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
    parts_missing: list[str]
    parts_back: list[str]
    kits_not_looked_at: list[str]
    against_record: list[str]
    not_on_record: list[str]


def what_would_change(database: Database, now: datetime) -> Finish:
    """What finishing the open stocktake would change. Raises NoStocktake."""
    with database.read() as session:
        return _plan(standing_in(session, open_stocktake(session)), day_in(session, now))


def finish(database: Database, now: datetime, seen_before: Finish | None = None) -> Finish:
    """Finish the open stocktake; `seen_before` is the plan that a person agreed to.

    Raises NoStocktake, ChangedMeanwhile.
    """
    with database.write(now, "finish the stocktake") as session:
        stocktake = open_stocktake(session)
        now_standing = standing_in(session, stocktake)
        plan = _plan(now_standing, day_in(session, now))
        if seen_before is not None and plan != seen_before:
            raise ChangedMeanwhile
        keep(session, stocktake, now_standing)
        for item in now_standing.items:
            _settle(session, item, plan.finished_on)
        for part in now_standing.parts:
            _settle_part(session, part, plan.finished_on)
        keep_as_one(session, Stocktake.__name__, stocktake.id)
        stocktake.finished_on = plan.finished_on
        stocktake.expected, stocktake.not_found = plan.expected, len(plan.goes_missing)
    return replace(plan, done=True)


def _plan(now: Standing, today: date) -> Finish:
    changes = now.changes
    return Finish(
        started_on=now.started_on,
        finished_on=max(today, now.started_on),  # a clock may have been set back
        done=False,
        expected=now.expected,
        seen=now.expected - now.not_seen,
        goes_missing=changes.goes_missing,
        comes_back=changes.comes_back,
        moved=changes.moved,
        parts_missing=changes.parts_missing,
        parts_back=changes.parts_back,
        kits_not_looked_at=now.kits_not_looked_at,
        against_record=[
            f"{item.name} ({status_words(item.status)})" for item in now.those(Found.AGAINST_RECORD)
        ],
        not_on_record=[line.text for line in now.not_on_record],
    )


def _settle(session: Session, item: CountedItem, today: date) -> None:
    if item.found is Found.NOT_SEEN:
        note_missing(session, session.get_one(Equipment, item.equipment_id), today)
    if item.found is Found.BACK:
        note_found(session, session.get_one(Equipment, item.equipment_id), today)
    if item.moves:
        paper_to_write(session, item.equipment_id).place = item.seen_at


def _settle_part(session: Session, part: CountedPart, today: date) -> None:
    if part.found is Found.NOT_SEEN:
        note_missing(session, session.get_one(KitPart, part.kit_part_id), today)
    if part.found is Found.BACK:
        note_found(session, session.get_one(KitPart, part.kit_part_id), today)
