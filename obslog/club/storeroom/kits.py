"""Kits: items lent together, and what became of each part."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog import fields
from obslog.club.register.club_day import day_in
from obslog.club.register.named_records import add_record, edit
from obslog.club.register.things import thing_named
from obslog.club.register.typed_values import LONGEST_TARGET, written
from obslog.club.storeroom.custody import (
    Custody,
    Holder,
    StoreStatus,
    state_of,
    state_of_part,
    who_has_it,
)
from obslog.errors import ObslogError, UnknownName, WrongInput, quoted
from obslog.records.database import Database
from obslog.records.history.recorder import call_act
from obslog.records.merging.same_aliases import close_waiting
from obslog.records.name_lookup import by_name
from obslog.records.tables.base import name_key
from obslog.records.tables.lending import Kit, KitPart
from obslog.records.tables.logbook_tables import Equipment


class InAnotherKit(ObslogError):
    def __init__(self, item: str, kit: str) -> None:
        super().__init__(
            f"{item} is a part of the kit {kit}.",
            f"Take it out of that kit first: obslog kit remove {quoted(kit)} {quoted(item)}",
        )


class PartThere(WrongInput):
    def __init__(self, kit: str, label: str) -> None:
        super().__init__(
            f"The kit {kit} has a part named {label!r} already.", "Give the second one another name."
        )


@dataclass(frozen=True, slots=True)
class PartLine:
    """A part of a kit and where it is: `in the store`, `on loan` or `with` a member, `missing`, `retired`.

    `with_kit`: in the store, or out by the same loan as the kit.
    """

    part: str
    kind: str | None
    where: str
    with_kit: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class KitPage:
    """A kit with its parts; `complete` where every part is in the store or out with the kit."""

    name: str
    loan_days: int | None
    weight_kg: float | None
    with_whom: str | None
    due_on: date | None
    complete: bool
    parts: list[PartLine]
    note: str | None
    retired_on: date | None


def add_kit(
    database: Database,
    name: str,
    parts: Sequence[str],
    now: datetime,
    *,
    loan_days: int | None = None,
    weight_kg: float | None = None,
    note: str | None = None,
) -> KitPage:
    """Put a kit on record with its parts, or nothing: items on record by their name, anything else as a label.

    Raises NameTaken, InAnotherKit, PartThere, OutOfRange.
    """
    _check(loan_days, weight_kg)
    values = {"loan_days": loan_days, "weight_kg": weight_kg, "note": note}
    with database.write(now, f"add kit {name}") as session:
        kit = add_record(session, "kit", name, values)
        assert isinstance(kit, Kit)
        for part in parts:
            join_kit(session, kit, part, day_in(session, now))
        return kit_page(session, kit)


def edit_kit(
    database: Database, name: str, values: dict[str, Any], now: datetime, rename: str | None
) -> KitPage:
    """Change a kit's term, weight, note or name. Raises UnknownName, NameTaken, OutOfRange, NothingToChange."""
    _check(values.get("loan_days"), values.get("weight_kg"))
    edited = edit(database, "kit", name, values, now, rename=rename)
    return show_kit(database, edited["name"])


def add_part(
    database: Database, kit_name: str, part: str, now: datetime, *, kind: str | None = None
) -> KitPage:
    """Add a part: the item of that name, or where there is none (and no kind is given) a label."""
    with database.write(now, f"add {part} to the kit {kit_name}") as session:
        kit = by_name(session, Kit, kit_name)
        call_act(session, f"add {part} to the kit {kit.name}")
        join_kit(session, kit, part, day_in(session, now), kind=kind)
        return kit_page(session, kit)


def remove_part(database: Database, kit_name: str, part: str, why: str | None, now: datetime) -> KitPage:
    """Take a part out of a kit; the item itself stays on record. Raises UnknownName."""
    with database.write(now, f"take {part} out of the kit {kit_name}") as session:
        kit = by_name(session, Kit, kit_name)
        call_act(session, f"take {part} out of the kit {kit.name}")
        leave_kit(session, part_named(session, kit, part), day_in(session, now), why)
        return kit_page(session, kit)


def replace_part(database: Database, kit_name: str, part: str, by: str, now: datetime) -> KitPage:
    """Put another item, or label, in a part's place; the old one leaves the kit. Raises as add_part."""
    with database.write(now, f"replace {part} of the kit {kit_name} by {by}") as session:
        kit = by_name(session, Kit, kit_name)
        call_act(session, f"replace {part} of the kit {kit.name} by {by}")
        leave_kit(session, part_named(session, kit, part), day_in(session, now), f"replaced by {by}")
        join_kit(session, kit, by, day_in(session, now))
        return kit_page(session, kit)


def join_kit(session: Session, kit: Kit, part: str, day: date, *, kind: str | None = None) -> KitPart:
    """Make the item of that name, or else a label, a part of the kit. Raises as add_part."""
    label = written(part, "The part", LONGEST_TARGET)
    item = _item_or_none(session, label, kind)
    if item is not None:
        label = item.name
        other = session.scalar(
            select(Kit.name)
            .join(KitPart, KitPart.kit_id == Kit.id)
            .where(KitPart.equipment_id == item.id, KitPart.left_on.is_(None), Kit.id != kit.id)
        )
        if other is not None:
            raise InAnotherKit(label, other)
    if any(name_key(present.label) == name_key(label) for present in parts_of(session, kit)):
        raise PartThere(kit.name, label)
    joined = KitPart(kit_id=kit.id, label=label, equipment_id=item.id if item else None, joined_on=day)
    session.add(joined)
    session.flush()
    return joined


def leave_kit(session: Session, part: KitPart, day: date, why: str | None) -> None:
    """The part belongs to the kit no longer."""
    part.left_on, part.left_why = day, why
    item = str(part.equipment_id) if part.equipment_id else None
    same = {"kit_id": str(part.kit_id), "equipment_id": item} | ({} if item else {"label": part.label})
    left = {"left_on": day.isoformat(), "left_why": why}
    close_waiting(session, KitPart, same, lambda image: image if image.get("left_on") else {**image, **left})
    session.flush()


def parts_of(session: Session, kit: Kit) -> Sequence[KitPart]:
    """The parts that belong to a kit now, in the order in which they joined."""
    query = select(KitPart).where(KitPart.kit_id == kit.id, KitPart.left_on.is_(None)).order_by(KitPart.id)
    return session.scalars(query).all()


def part_named(session: Session, kit: Kit, name: str) -> KitPart:
    parts = parts_of(session, kit)
    found = next((part for part in parts if name_key(part.label) == name_key(name)), None)
    if found is None:
        raise UnknownName("part", name, [part.label for part in parts], f"obslog kit put {quoted(kit.name)}")
    return found


def show_kit(database: Database, name: str, *, with_names: bool = False) -> KitPage:
    """A kit with its parts and where each is; who has it only `with_names`. Raises UnknownName."""
    with database.read() as session:
        return kit_page(session, by_name(session, Kit, name), with_names=with_names)


def list_kits(database: Database, *, with_retired: bool = False, with_names: bool = False) -> list[KitPage]:
    """All kits, by name; who has them only `with_names`."""
    query = select(Kit).order_by(Kit.name_key)
    with database.read() as session:
        if not with_retired:
            query = query.where(Kit.retired_on.is_(None))
        state, kinds = state_of(session, with_names=with_names), _kinds(session)
        return [_page(session, kit, state, kinds) for kit in session.scalars(query)]


def kit_page(session: Session, kit: Kit, *, with_names: bool = False) -> KitPage:
    return _page(session, kit, state_of(session, with_names=with_names), _kinds(session))


def _page(
    session: Session, kit: Kit, state: Mapping[UUID, Custody], kinds: Mapping[UUID | None, str]
) -> KitPage:
    holder = state[kit.id].holder
    parts = [(part, state_of_part(part, state)) for part in parts_of(session, kit)]
    return KitPage(
        name=kit.name,
        loan_days=kit.loan_days,
        weight_kg=kit.weight_kg,
        with_whom=holder.member if holder else None,
        due_on=holder.due_on if holder else None,
        complete=all(_with_the_kit(now, holder) for _, now in parts),
        parts=[
            PartLine(part.label, kinds.get(part.equipment_id), _where(now), _with_the_kit(now, holder))
            for part, now in parts
        ],
        note=kit.note,
        retired_on=kit.retired_on,
    )


def _where(now: Custody) -> str:
    if now.holder is not None:
        return who_has_it(now.holder.member)
    if now.status is StoreStatus.IN:
        return "in the store"
    return f"{now.status} {'since' if now.status is StoreStatus.MISSING else 'on'} {now.since}"


def _with_the_kit(now: Custody, holder: Holder | None) -> bool:
    """In the store, or out by the same loan as the kit."""
    if now.holder is None:
        return now.status is StoreStatus.IN
    return holder is not None and now.holder.loan_id == holder.loan_id


def _kinds(session: Session) -> dict[UUID | None, str]:
    return dict(session.execute(select(Equipment.id, Equipment.kind)).all())


def _item_or_none(session: Session, name: str, kind: str | None) -> Equipment | None:
    """The item of that whole name: what begins one may be a label of its own, as "counter" beside Counterweight."""
    try:
        return thing_named(session, name, kind, whole=True)
    except UnknownName:
        if kind is not None:
            raise
        return None


def _check(days: int | None, weight_kg: float | None) -> None:
    fields.LOAN_TERM_DAYS.check(days)
    fields.KIT_WEIGHT_KG.check(weight_kg)
