"""The store-room on one screen: every kit and thing, where it stands and what its papers say."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Any
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.storeroom.custody import Holder, holders
from obslog.records.opening import Database
from obslog.records.tables.lending import Kit, KitPart
from obslog.records.tables.logbook_tables import Equipment, Item
from obslog.records.tables.storeroom import Paper
from obslog.vocabulary import Acquired

ORDER = {kind: place for place, kind in enumerate(("kit", "mount", "tube", "eyepiece", "item"))}


class StoreStatus(StrEnum):
    """Where a thing is; it is in one of these at a time."""

    IN = "in"
    OUT = "out"
    MISSING = "missing"
    RETIRED = "retired"
    WRITTEN_OFF = "written off"


@dataclass(frozen=True, slots=True)
class StoreLine:
    """A kit or thing. `sort` is of other items; `with_whom` is None without names; None is what nobody wrote down."""

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
    """What the listed things are worth together, and of how many the value is not known."""

    value: float
    known: int
    unknown: int


def store_list(
    database: Database,
    *,
    kind: str | None = None,
    missing: bool = False,
    with_retired: bool = False,
    with_names: bool = False,
) -> list[StoreLine]:
    """All kits and things in use, kits first; those of one kind, or missing, or also the retired where asked.

    What is missing is listed with `missing` though it be retired, unless it is written off.
    """
    with database.read() as session:
        lines = store_lines(session, with_names=with_names)
    return [
        line
        for line in lines
        if (kind is None or line.kind == kind)
        and (not missing or (line.missing_since is not None and line.written_off_on is None))
        and (missing or with_retired or line.retired_on is None)
    ]


def worth(lines: list[StoreLine]) -> Worth:
    """The sum over things that are not written off; a kit is worth its parts, and is not counted again."""
    values = [line.value for line in lines if line.kind != "kit" and line.written_off_on is None]
    known = [value for value in values if value is not None]
    return Worth(sum(known), len(known), len(values) - len(known))


def store_lines(session: Session, *, with_names: bool, only: UUID | None = None) -> list[StoreLine]:
    """The lines of all kits and things, or of the one with that key."""
    out = holders(session)
    return [*_kit_lines(session, out, with_names, only), *_thing_lines(session, out, with_names, only)]


def _kit_lines(
    session: Session, out: Mapping[UUID, Holder], with_names: bool, only: UUID | None
) -> list[StoreLine]:
    query = select(Kit).order_by(Kit.name_key)
    if only is not None:
        query = query.where(Kit.id == only)
    lines = []
    for kit in session.scalars(query):
        told = {
            "name": kit.name,
            "retired_on": kit.retired_on,
            "retired_why": kit.retired_why,
            "note": kit.note,
        }
        lines.append(_line("kit", told, None, out.get(kit.id), None, with_names))
    return lines


def _thing_lines(
    session: Session, out: Mapping[UUID, Holder], with_names: bool, only: UUID | None
) -> list[StoreLine]:
    columns = (Equipment.name, Equipment.retired_on, Equipment.retired_why, Equipment.note)
    sorts = Item.__table__.c
    query = (
        select(
            Equipment.id,
            Equipment.kind,
            Equipment.name_key,
            *columns,
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
            {name: row[name] for name in ("name", "retired_on", "retired_why", "note", "sort", "kit")},
            row["Paper"],
            out.get(row["id"]),
            row["kit"],
            with_names,
        )
        for row in rows
    ]


def _line(
    kind: str,
    told: Mapping[str, Any],
    paper: Paper | None,
    holder: Holder | None,
    kit: str | None,
    with_names: bool,
) -> StoreLine:
    known = paper or Paper(equipment_id=UUID(int=0))  # a paper on which nothing stands
    status = status_of(told["retired_on"], known, holder)
    return StoreLine(
        status=status,
        kind=kind,
        sort=told.get("sort"),
        name=told["name"],
        kit=kit,
        where=_where(status, told["retired_on"], known, holder if with_names else None),
        with_whom=holder.member if holder and with_names else None,
        due_on=holder.due_on if holder else None,
        tag=known.tag,
        serial=known.serial,
        maker=known.maker,
        model=known.model,
        acquired=known.acquired,
        acquired_on=known.acquired_on,
        cost=known.cost,
        value=known.value,
        place=known.place,
        missing_since=known.missing_since,
        retired_on=told["retired_on"],
        retired_why=told["retired_why"],
        written_off_on=known.written_off_on,
        note=told["note"],
    )


def status_of(retired_on: date | None, paper: Paper, holder: Holder | None) -> StoreStatus:
    if holder is not None:
        return StoreStatus.OUT
    if paper.written_off_on is not None:
        return StoreStatus.WRITTEN_OFF
    if retired_on is not None:
        return StoreStatus.RETIRED
    return StoreStatus.MISSING if paper.missing_since is not None else StoreStatus.IN


def _where(status: StoreStatus, retired_on: date | None, paper: Paper, holder: Holder | None) -> str | None:
    if status is StoreStatus.OUT:
        return f"with {holder.member}" if holder else "on loan"
    if status is StoreStatus.IN:
        return paper.place
    since = {
        StoreStatus.MISSING: paper.missing_since,
        StoreStatus.WRITTEN_OFF: paper.written_off_on,
        StoreStatus.RETIRED: retired_on,
    }
    return f"since {since[status]}"
