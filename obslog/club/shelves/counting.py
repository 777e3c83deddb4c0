"""Counting the shelves: a stocktake is begun, and what is seen is ticked by its tag or its whole name.

A beginning of a name is not taken: what a scanner sends must never tick something else. What is not on record is kept
as it was typed. Each tick is an act of its own, so that the count can be left at any time, and a slip be undone.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import Select, select
from sqlalchemy.orm import Session

from obslog import fields
from obslog.club.register.club_day import day_in
from obslog.club.shelves.count_records import elsewhere
from obslog.club.shelves.looking_through import look_through
from obslog.club.shelves.seen import Seen, SeenOutcome
from obslog.club.storeroom.custody import custody_of
from obslog.errors import ObslogError, WrongInput, nearest_names
from obslog.records.database import Database
from obslog.records.history.recorder import call_act
from obslog.records.name_lookup import key_of_member
from obslog.records.tables.base import name_key
from obslog.records.tables.lending import Kit, KitPart
from obslog.records.tables.logbook_tables import Equipment, Member
from obslog.records.tables.officer import NotOnRecord, Stocktake, StocktakeTick
from obslog.records.tables.storeroom import Paper

PLACE = fields.TextField("The place", 200, one_line=True)
SEEN = fields.TextField("The tag or name", 200, one_line=True)
NOTE = fields.TextField("The note", 500)


class StocktakeOpen(ObslogError):
    def __init__(self, since: date) -> None:
        super().__init__(
            f"A stocktake has been open since {since}.",
            "Go on with it: obslog stocktake saw TAG; or end it: obslog stocktake finish",
        )


class NoStocktake(ObslogError):
    def __init__(self) -> None:
        super().__init__("No stocktake is open.", "Begin one: obslog stocktake start")


class NotAKit(WrongInput):
    def __init__(self, name: str) -> None:
        super().__init__(
            f"{name} is no kit: nothing can be missing from it.",
            "Name the kit; what is not seen is not ticked.",
        )


@dataclass(frozen=True, slots=True)
class Started:
    """The stocktake that was begun."""

    started_on: date
    member: str | None


def start(database: Database, now: datetime, member: str | None = None) -> Started:
    """Begin a stocktake. Raises StocktakeOpen, UnknownName, SeveralNamesFit."""
    with database.write(now, "start a stocktake") as session:
        earlier = open_stocktake_or_none(session)
        if earlier is not None:
            raise StocktakeOpen(earlier.started_on)
        counts = key_of_member(session, member)
        today = day_in(session, now)
        session.add(Stocktake(started_on=today, member_id=counts))
        who = session.get_one(Member, counts).name if counts else None
    return Started(today, who)


def saw(
    database: Database,
    text: str,
    now: datetime,
    *,
    place: str | None = None,
    note: str | None = None,
    kind: str | None = None,
    without: Sequence[str] = (),
) -> Seen:
    """Tick what has that tag or name, seen at that place; what is not on record is kept as it was typed.

    A part of a kit that is only a label is on record with its kit: it is neither ticked nor kept.
    Of a kit its parts that are only labels are there, but for those named in `without`.
    Raises NoStocktake, UnusableText, NotAKit, UnknownName, TickedAlready.
    """
    text, place, note = SEEN.checked(text), PLACE.checked_or_none(place), NOTE.checked_or_none(note)
    with database.write(now, f"saw {text} in the stocktake") as session:
        stocktake = open_stocktake(session)
        found = _items(session, text, kind)
        if found and without:
            raise NotAKit(found[0][0].name)
        if len(found) == 1:
            return _tick(session, stocktake, found[0], text, now, place, note)
        if found:
            kinds = tuple(item.kind for item, _ in found)
            return Seen(text=text, outcome=SeenOutcome.SEVERAL, name=found[0][0].name, kinds=kinds)
        kit = session.scalar(select(Kit).where(Kit.name_key == name_key(text)))
        if kit is not None:
            return look_through(session, stocktake, kit, text, now, without)
        if without:
            raise NotAKit(text)
        of_kits = _kits_with(session, text)
        if of_kits:
            return Seen(text=text, outcome=SeenOutcome.A_PART, of_kits=of_kits)
        _keep(session, stocktake, text, now, place)
        nearest = tuple(nearest_names(text, _names_in_use(session), most=2))
    return Seen(text=text, outcome=SeenOutcome.NOT_ON_RECORD, seen_at=place, nearest=nearest)


def open_stocktake(session: Session) -> Stocktake:
    """The one that is open. Raises NoStocktake."""
    found = open_stocktake_or_none(session)
    if found is None:
        raise NoStocktake
    return found


def refuse_if_none_open(database: Database) -> None:
    """Raises NoStocktake, before anybody begins to scan."""
    with database.read() as session:
        open_stocktake(session)


def open_stocktake_or_none(session: Session) -> Stocktake | None:
    query = select(Stocktake).where(Stocktake.finished_on.is_(None)).order_by(Stocktake.id)
    return session.scalars(query.limit(1)).first()


def _kits_with(session: Session, text: str) -> tuple[str, ...]:
    """The kits in use that have a part of that name which is only a label, by name."""
    query = (
        select(Kit.name, KitPart.label)
        .join(KitPart, KitPart.kit_id == Kit.id)
        .where(KitPart.equipment_id.is_(None), KitPart.left_on.is_(None), Kit.retired_on.is_(None))
        .order_by(Kit.name_key)
    )
    return tuple(kit for kit, label in session.execute(query) if name_key(label) == name_key(text))


def _names_in_use(session: Session) -> list[str]:
    return list(session.scalars(select(Equipment.name).where(Equipment.retired_on.is_(None))))


def _items(session: Session, text: str, kind: str | None) -> list[tuple[Equipment, Paper | None]]:
    """The item with that tag; else those with that whole name, of that kind if one is given."""
    tag = _tag_as_written(session, text)
    if tag is not None:
        item, paper = session.execute(_with_paper().where(Paper.tag == tag)).one()
        return [(item, paper)]
    named = session.execute(_with_paper().where(Equipment.name_key == name_key(text))).all()
    return [(item, paper) for item, paper in named if kind is None or item.kind == kind]


def _tag_as_written(session: Session, text: str) -> str | None:
    """The tag on record that the text is, in any case; None where there is none."""
    if session.scalar(select(Paper.tag).where(Paper.tag == text)) is not None:
        return text
    spelt = {
        name_key(tag): tag for tag in session.scalars(select(Paper.tag).where(Paper.tag.is_not(None))) if tag
    }
    return spelt.get(name_key(text))


def _with_paper() -> Select[Equipment, Paper | None]:
    return select(Equipment, Paper).outerjoin(Paper, Paper.equipment_id == Equipment.id)


def _tick(
    session: Session,
    stocktake: Stocktake,
    found: tuple[Equipment, Paper | None],
    text: str,
    now: datetime,
    place: str | None,
    note: str | None,
) -> Seen:
    """Tick it; one that is ticked already takes the new place and note, if any, and is else left."""
    item, paper = found
    call_act(session, f"saw {item.name} in the stocktake")
    tick = session.scalar(
        select(StocktakeTick).where(
            StocktakeTick.stocktake_id == stocktake.id, StocktakeTick.equipment_id == item.id
        )
    )
    again = tick is not None
    if tick is None:
        tick = StocktakeTick(stocktake_id=stocktake.id, equipment_id=item.id, seen_utc=now)
        session.add(tick)
    tick.found_place, tick.note = place or tick.found_place, note or tick.note
    kept_at = paper.place if paper else None
    return Seen(
        text=text,
        outcome=SeenOutcome.AGAIN
        if again
        else SeenOutcome.ELSEWHERE
        if elsewhere(kept_at, place)
        else SeenOutcome.SEEN,
        name=item.name,
        tag=paper.tag if paper else None,
        kept_at=kept_at,
        seen_at=tick.found_place,
        status=custody_of(session, item).status,
    )


def _keep(session: Session, stocktake: Stocktake, text: str, now: datetime, place: str | None) -> None:
    """Keep a text that is not on record, once in each place."""
    query = select(NotOnRecord).where(NotOnRecord.stocktake_id == stocktake.id)
    for known in session.scalars(query):
        if name_key(known.text) == name_key(text) and known.found_place == place:
            return
    session.add(NotOnRecord(stocktake_id=stocktake.id, text=text, seen_utc=now, found_place=place))
