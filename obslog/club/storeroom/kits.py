"""Kits: things lent together, and what became of each part."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.register.named_records import add, edit
from obslog.club.register.things import thing_named
from obslog.club.register.typed_values import LONGEST_TARGET, written
from obslog.club.storeroom.custody import holders, note_absence, paper_of, refuse_if_out
from obslog.errors import ObslogError, OutOfRange, UnknownName, WrongInput
from obslog.records.name_lookup import by_name
from obslog.records.opening import Database, one_transaction
from obslog.records.tables.base import name_key
from obslog.records.tables.lending import Kit, KitPart
from obslog.records.tables.logbook_tables import Equipment

LONGEST_LOAN_DAYS = 3660
HEAVIEST_KG = 1000


class InAnotherKit(ObslogError):
    def __init__(self, thing: str, kit: str) -> None:
        super().__init__(
            f"{thing} is a part of the kit {kit}.", "Take it out of that kit first: obslog kit remove"
        )


class PartThere(WrongInput):
    def __init__(self, kit: str, label: str) -> None:
        super().__init__(
            f"The kit {kit} has a part named {label!r} already.", "Give the second one another name."
        )


@dataclass(frozen=True, slots=True)
class PartLine:
    """A part of a kit and where it is: `in the store`, `with` a member, `on loan`, `missing since` a day, `retired`."""

    part: str
    kind: str | None
    where: str


@dataclass(frozen=True, slots=True)
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
    """Put a kit on record with its parts, or nothing: things on record by their name, anything else as a label.

    Raises NameTaken, InAnotherKit, PartThere, OutOfRange.
    """
    _check(loan_days, weight_kg)
    with one_transaction(database, now, f"add kit {name}") as whole:
        add(whole, "kit", name, {"loan_days": loan_days, "weight_kg": weight_kg, "note": note}, now)
        for part in parts:
            add_part(whole, name, part, now)
    return show_kit(database, name)


def edit_kit(
    database: Database, name: str, values: dict[str, Any], now: datetime, rename: str | None
) -> KitPage:
    """Change a kit's term, weight, note or name. Raises UnknownName, NameTaken, OutOfRange, NothingToChange."""
    _check(values.get("loan_days"), values.get("weight_kg"))
    edit(database, "kit", name, values, now, rename=rename)
    return show_kit(database, rename or name)


def add_part(
    database: Database, kit_name: str, part: str, now: datetime, *, kind: str | None = None
) -> KitPage:
    """Add a part: the thing of that name, or where there is none (and no kind is given) a label."""
    label = written(part, "The part", LONGEST_TARGET)
    with database.write(now, f"add {label} to the kit {kit_name}") as session:
        kit = by_name(session, Kit, kit_name)
        thing = _thing_or_none(session, label, kind)
        if thing is not None:
            label = thing.name
            other = session.scalar(
                select(Kit.name)
                .join(KitPart, KitPart.kit_id == Kit.id)
                .where(KitPart.equipment_id == thing.id, KitPart.left_on.is_(None), Kit.id != kit.id)
            )
            if other is not None:
                raise InAnotherKit(label, other)
        if any(name_key(present.label) == name_key(label) for present in parts_of(session, kit)):
            raise PartThere(kit.name, label)
        session.add(
            KitPart(
                kit_id=kit.id, label=label, equipment_id=thing.id if thing else None, joined_on=now.date()
            )
        )
    return show_kit(database, kit_name)


def remove_part(database: Database, kit_name: str, part: str, why: str | None, now: datetime) -> KitPage:
    """Take a part out of a kit; the thing itself stays on record. Raises UnknownName."""
    with database.write(now, f"take {part} out of the kit {kit_name}") as session:
        found = part_named(session, by_name(session, Kit, kit_name), part)
        found.left_on, found.left_why = now.date(), why
    return show_kit(database, kit_name)


def set_missing(database: Database, kit_name: str, part: str, now: datetime, *, missing: bool) -> KitPage:
    """Say that a part of a kit is missing, or found again. Raises UnknownName, IsOut where a member has it."""
    word = "missing" if missing else "found"
    with database.write(now, f"{part} of the kit {kit_name} is {word}") as session:
        found = part_named(session, by_name(session, Kit, kit_name), part)
        thing = session.get(Equipment, found.equipment_id) if found.equipment_id and missing else None
        if thing is not None:
            refuse_if_out(session, thing)
        note_missing(session, found, now.date(), missing=missing)
    return show_kit(database, kit_name)


def note_missing(session: Session, part: KitPart, day: date, *, missing: bool) -> None:
    """Write it on the part, and on the thing's own paper where it is a thing on record."""
    part.missing_since = day if missing else None
    if part.equipment_id is not None:
        note_absence(session, part.equipment_id, day, missing=missing)


def replace_part(database: Database, kit_name: str, part: str, by: str, now: datetime) -> KitPage:
    """Put another thing, or label, in a part's place; the old one leaves the kit. Raises as add_part."""
    with one_transaction(database, now, f"replace {part} of the kit {kit_name} by {by}") as whole:
        remove_part(whole, kit_name, part, f"replaced by {by}", now)
        return add_part(whole, kit_name, by, now)


def parts_of(session: Session, kit: Kit) -> Sequence[KitPart]:
    """The parts that belong to a kit now, in the order in which they joined."""
    query = select(KitPart).where(KitPart.kit_id == kit.id, KitPart.left_on.is_(None)).order_by(KitPart.id)
    return session.scalars(query).all()


def part_named(session: Session, kit: Kit, name: str) -> KitPart:
    parts = parts_of(session, kit)
    found = next((part for part in parts if name_key(part.label) == name_key(name)), None)
    if found is None:
        raise UnknownName("part", name, [part.label for part in parts], f"obslog kit put {kit.name!r}")
    return found


def show_kit(database: Database, name: str, *, with_names: bool = True) -> KitPage:
    """A kit with its parts and where each is; who has it only `with_names`. Raises UnknownName."""
    with database.read() as session:
        return _page(session, by_name(session, Kit, name), with_names)


def list_kits(database: Database, *, with_retired: bool = False, with_names: bool = True) -> list[KitPage]:
    """All kits, by name; who has them only `with_names`."""
    query = select(Kit).order_by(Kit.name_key)
    with database.read() as session:
        if not with_retired:
            query = query.where(Kit.retired_on.is_(None))
        return [_page(session, kit, with_names) for kit in session.scalars(query)]


def _page(session: Session, kit: Kit, with_names: bool) -> KitPage:
    out = holders(session)
    holder = out.get(kit.id)
    lines, complete = [], True
    for part in parts_of(session, kit):
        thing = session.get(Equipment, part.equipment_id) if part.equipment_id else None
        paper = paper_of(session, thing.id) if thing else None
        missing = part.missing_since or (paper.missing_since if paper else None)
        apart = out.get(thing.id) if thing else holder
        if thing is not None and thing.retired_on is not None:
            where = f"retired on {thing.retired_on}"
        elif missing:
            where = f"missing since {missing}"
        elif apart is not None:
            where = f"with {apart.member}" if with_names else "on loan"
        else:
            where = "in the store"
        elsewhere = apart is not None and (holder is None or apart.loan_id != holder.loan_id)
        complete = complete and not where.startswith(("missing", "retired")) and not elsewhere
        lines.append(PartLine(part.label, thing.kind if thing else None, where))
    return KitPage(
        kit.name,
        kit.loan_days,
        kit.weight_kg,
        holder.member if holder and with_names else None,
        holder.due_on if holder else None,
        complete,
        lines,
        kit.note,
        kit.retired_on,
    )


def _thing_or_none(session: Session, name: str, kind: str | None) -> Equipment | None:
    try:
        return thing_named(session, name, kind)
    except UnknownName:
        if kind is not None:
            raise
        return None


def _check(days: int | None, weight_kg: float | None) -> None:
    if days is not None and not 1 <= days <= LONGEST_LOAN_DAYS:
        raise OutOfRange("The term", days, 1, LONGEST_LOAN_DAYS, "days")
    if weight_kg is not None and not 0 < weight_kg <= HEAVIEST_KG:
        raise OutOfRange("The weight", weight_kg, 0, HEAVIEST_KG, "kg")


def set_missing_from(session: Session, thing: Equipment, day: date, *, missing: bool) -> None:
    """On the thing's own paper, and on the part it is of a kit."""
    part = session.scalar(select(KitPart).where(KitPart.equipment_id == thing.id, KitPart.left_on.is_(None)))
    if part is not None:
        note_missing(session, part, day, missing=missing)
    else:
        note_absence(session, thing.id, day, missing=missing)
