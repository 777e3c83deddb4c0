"""The store-room on one screen: every kit and item, where it is and what its papers say."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.register.rule_book import currency_of
from obslog.club.storeroom.custody import Custody, StoreStatus, state_of, who_has_it
from obslog.money import money_sum
from obslog.records.database import Database
from obslog.records.tables.lending import Kit, KitPart
from obslog.records.tables.logbook_tables import Equipment, Item
from obslog.records.tables.storeroom import Paper
from obslog.vocabulary.storeroom import Acquired

ORDER = {kind: place for place, kind in enumerate(("kit", "mount", "tube", "eyepiece", "item"))}


@dataclass(frozen=True, slots=True, kw_only=True)
class StoreLine:
    """A kit or item; None is what nobody wrote down.

    `sort` is the category of other items; `with_whom` is None without names.
    """

    status: StoreStatus
    kind: str
    sort: str | None
    name: str
    kit: str | None
    where: str | None
    with_whom: str | None
    due_on: date | None
    tag: str | None
    serial: str | None
    maker: str | None
    model: str | None
    acquired: Acquired | None
    acquired_on: date | None
    cost: float | None
    value: float | None
    place: str | None
    missing_since: date | None
    retired_on: date | None
    retired_why: str | None
    written_off_on: date | None
    note: str | None


@dataclass(frozen=True, slots=True)
class Worth:
    """What the listed items are worth together, and of how many the value is not known."""

    value: float
    known: int
    unknown: int


@dataclass(frozen=True, slots=True)
class StoreList:
    """Lines of the store-room with what they are worth together, in the club's currency."""

    lines: list[StoreLine]
    worth: Worth
    currency: str | None

    @classmethod
    def of(cls, database: Database, lines: list[StoreLine]) -> "StoreList":
        return cls(lines, worth(lines), currency_of(database))


def store_list(
    database: Database,
    *,
    kind: str | None = None,
    missing: bool = False,
    with_retired: bool = False,
    with_names: bool = False,
) -> list[StoreLine]:
    """All kits and items that are listed, kits first; those of one kind, or missing, or also the retired where asked.

    What is missing is listed with `missing` though it be retired, unless it is written off.
    """
    with database.read() as session:
        lines = store_lines(session, with_names=with_names)
    return [
        line
        for line in lines
        if (kind is None or line.kind == kind)
        and (not missing or (line.missing_since is not None and line.written_off_on is None))
        and (missing or with_retired or is_listed(line))
    ]


def is_listed(line: StoreLine) -> bool:
    """In use, or lent: an undo, or a merge of two laptops, may retire what somebody has."""
    return line.status is StoreStatus.OUT or (line.retired_on is None and line.written_off_on is None)


def worth(lines: list[StoreLine]) -> Worth:
    """The sum over items that are not written off; a kit is worth its parts, and is not counted again."""
    values = [line.value for line in lines if line.kind != "kit" and line.written_off_on is None]
    known = [value for value in values if value is not None]
    return Worth(money_sum(known), len(known), len(values) - len(known))


def store_lines(session: Session, *, with_names: bool, only: UUID | None = None) -> list[StoreLine]:
    """The lines of all kits and items, or of the one with that key."""
    state = state_of(session, with_names=with_names)
    return [*_kit_lines(session, state, only), *_item_lines(session, state, only)]


def _kit_lines(session: Session, state: Mapping[UUID, Custody], only: UUID | None) -> list[StoreLine]:
    query = select(Kit).order_by(Kit.name_key)
    if only is not None:
        query = query.where(Kit.id == only)
    return [
        _line("kit", {"name": kit.name, "note": kit.note}, None, state[kit.id])
        for kit in session.scalars(query)
    ]


def _item_lines(session: Session, state: Mapping[UUID, Custody], only: UUID | None) -> list[StoreLine]:
    sorts = Item.__table__.c
    query = (
        select(
            Equipment.id,
            Equipment.kind,
            Equipment.name_key,
            Equipment.name,
            Equipment.note,
            sorts.sort,
            Paper,
            Kit.name.label("kit"),
        )
        .outerjoin(Item.__table__, sorts.id == Equipment.id)
        .outerjoin(Paper, Paper.equipment_id == Equipment.id)
        .outerjoin(KitPart, (KitPart.equipment_id == Equipment.id) & KitPart.left_on.is_(None))
        .outerjoin(Kit, KitPart.kit_id == Kit.id)
    )
    if only is not None:
        query = query.where(Equipment.id == only)
    rows = sorted(session.execute(query).mappings(), key=lambda row: (ORDER[row["kind"]], row["name_key"]))
    return [
        _line(
            row["kind"],
            {name: row[name] for name in ("name", "note", "sort", "kit")},
            row["Paper"],
            state[row["id"]],
        )
        for row in rows
    ]


def _line(kind: str, told: Mapping[str, Any], paper: Paper | None, now: Custody) -> StoreLine:
    known = paper or Paper(equipment_id=UUID(int=0))  # a paper on which nothing stands
    return StoreLine(
        status=now.status,
        kind=kind,
        sort=told.get("sort"),
        name=told["name"],
        kit=told.get("kit"),
        where=_where(now),
        with_whom=now.holder.member if now.holder else None,
        due_on=now.holder.due_on if now.holder else None,
        tag=known.tag,
        serial=known.serial,
        maker=known.maker,
        model=known.model,
        acquired=known.acquired,
        acquired_on=known.acquired_on,
        cost=known.cost,
        value=known.value,
        place=known.place,
        missing_since=now.missing_since,
        retired_on=now.retired_on,
        retired_why=now.retired_why,
        written_off_on=now.written_off_on,
        note=told["note"],
    )


def _where(now: Custody) -> str | None:
    if now.holder is not None:
        return who_has_it(now.holder.member)
    return now.place if now.status is StoreStatus.IN else f"since {now.since}"
