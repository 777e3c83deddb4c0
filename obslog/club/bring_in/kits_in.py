"""Kits from a sheet, with their parts; a kit may fill several rows, a part in each."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from sqlalchemy import select

from obslog.club.bring_in.intake import Intake, Outcome, change_words, differences
from obslog.club.bring_in.names import Names, items
from obslog.club.register.typed_values import checked_name
from obslog.club.storeroom.kits import InAnotherKit
from obslog.errors import ObslogError
from obslog.records.tables.base import name_key
from obslog.records.tables.lending import Kit, KitPart

OWN = ("loan_days", "weight_kg", "note")


@dataclass(slots=True)
class KnownKit:
    """A kit on record, or new in this sheet: its key, what is known of it, and its parts by their forms."""

    key: UUID
    values: dict[str, Any]
    parts: set[str] = field(default_factory=set)


def kits_in(intake: Intake) -> None:
    """Find out what each row makes or changes; parts that a sheet does not name stay in their kit."""
    known, kit_of_item = _on_record(intake)
    things = items(intake.session)
    for row in intake.rows:
        try:
            name = checked_name("kit", str(row.values["name"]))
        except ObslogError as error:
            intake.refuse(row.line, "name", error)
            continue
        kit = known.get(name_key(name))
        outcome, words = (Outcome.NEW, []) if kit is None else (Outcome.SAME, [])
        if kit is None:
            values = {column: row.values.get(column) for column in OWN}
            key = intake.add(Kit, name=name, name_key=name_key(name), **values)
            kit = known[name_key(name)] = KnownKit(key, {"name": name, **values})
        else:
            changes = differences(kit.values, {column: row.values.get(column) for column in OWN})
            words += [change_words(kit.values, changes)] if changes else []
            kit.values.update(changes)
            intake.change(Kit, kit.key, changes)
        joined = _join_parts(intake, row.line, kit, row.values, things, kit_of_item)
        words += [f"with {', '.join(joined)}"] if joined else []
        if outcome is Outcome.SAME and words:
            outcome = Outcome.CHANGED
        intake.told(row.line, kit.values["name"], outcome, "; ".join(words), record=kit.key)


def _join_parts(
    intake: Intake,
    line: int,
    kit: KnownKit,
    values: Mapping[str, Any],
    things: Names,
    kit_of_item: dict[UUID, KnownKit],
) -> list[str]:
    """The parts of a row that the kit did not have yet; an item that is in another kit is a fault."""
    joined = []
    for part in values.get("parts", ()):
        try:
            item = things.get(part)
            label = item.name if item else checked_name("part", part)
            other = kit_of_item.get(item.key) if item else None
            if other is not None and other is not kit:
                raise InAnotherKit(label, other.values["name"])
        except ObslogError as error:
            intake.refuse(line, "parts", error)
            continue
        if name_key(label) in kit.parts:
            continue
        kit.parts.add(name_key(label))
        if item is not None:
            kit_of_item[item.key] = kit
        key = item.key if item else None
        intake.add(KitPart, kit_id=kit.key, label=label, equipment_id=key, joined_on=intake.today)
        joined.append(label)
    return joined


def _on_record(intake: Intake) -> tuple[dict[str, KnownKit], dict[UUID, KnownKit]]:
    """All kits by the forms of their names, and the kit that each item is in."""
    by_key: dict[UUID, KnownKit] = {}
    query = select(Kit.id, Kit.name, Kit.loan_days, Kit.weight_kg, Kit.note)
    for key, name, *values in intake.session.execute(query):
        by_key[key] = KnownKit(key, {"name": name, **dict(zip(OWN, values, strict=True))})
    kit_of_item: dict[UUID, KnownKit] = {}
    present = select(KitPart.kit_id, KitPart.label, KitPart.equipment_id).where(KitPart.left_on.is_(None))
    for kit_id, label, item in intake.session.execute(present):
        by_key[kit_id].parts.add(name_key(label))
        if item is not None:
            kit_of_item[item] = by_key[kit_id]
    return {name_key(kit.values["name"]): kit for kit in by_key.values()}, kit_of_item
