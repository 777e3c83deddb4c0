"""Items from a sheet: mounts, tubes, eyepieces and all others, with what the club writes down of them."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.bring_in.intake import Intake, Outcome, change_words, differences
from obslog.club.register.typed_values import checked_name
from obslog.errors import ObslogError
from obslog.exchange.spreadsheets.item_kinds import OWN_COLUMNS, kind_of, told_of_kind
from obslog.exchange.spreadsheets.reading import ValueRow
from obslog.records.tables.base import name_key
from obslog.records.tables.equipment import Equipment, Eyepiece, Item, Mount, Tube
from obslog.records.tables.storeroom import Paper

TABLES: dict[str, type[Equipment]] = {"mount": Mount, "tube": Tube, "eyepiece": Eyepiece, "item": Item}
VALUATION = ("valued_on", "valued_by")
PAPER = (
    "tag",
    "serial",
    "maker",
    "model",
    "acquired",
    "acquired_on",
    "cost",
    "value",
    *VALUATION,
    "place",
)
_OF_ONE_THING = {"tag": "tag", "serial": "serial number"}
STORED_AS = {"category": "sort"}  # the column's older name


@dataclass(slots=True, kw_only=True)
class ItemOnRecord:
    """An item on record, or new in this sheet: its key, its paper's, and what is known of it by the sheet's columns.

    `above` is the last row of this sheet that was about it.
    """

    key: UUID
    kind: str
    paper: UUID | None
    values: dict[str, Any]
    above: ValueRow | None = None


@dataclass(slots=True)
class ItemsKnown:
    """All items by kind and name, and each tag with the item that has it."""

    items: dict[tuple[str, str], ItemOnRecord] = field(default_factory=dict)
    tags: dict[str, ItemOnRecord] = field(default_factory=dict)

    def add(self, item: ItemOnRecord) -> None:
        self.items[item.kind, name_key(item.values["name"])] = item
        if item.values.get("tag"):
            self.tags[name_key(item.values["tag"])] = item

    def kinds_of(self, name: str) -> list[str]:
        return [kind for kind in TABLES if (kind, name_key(name)) in self.items]


def items_in(intake: Intake) -> None:
    """Find out what each row makes or changes."""
    known = items_on_record(intake.session)
    for row in intake.rows:
        try:
            name = checked_name("item", str(row.values["name"]))
            kind, category = kind_of(row, name, known.kinds_of(name))
            told = told_of_kind(row, name, kind, category)
        except ObslogError as error:
            intake.refuse(row.line, "", error)
            continue
        if (
            _is_the_same_thing(intake, row, kind, name, known)
            and _tag_is_free(intake, row.line, kind, told, known)
            and _has_value(intake, row.line, kind, told, known)
        ):
            _take(intake, row, kind, told, known)


def items_on_record(session: Session) -> ItemsKnown:
    """All items of the club with their papers."""
    known = ItemsKnown()
    paper = [Paper.id, *(getattr(Paper, column) for column in PAPER)]
    for kind, table in TABLES.items():
        own = [getattr(table, STORED_AS.get(column, column)) for column in OWN_COLUMNS[kind]]
        query = select(table.id, table.name, table.note, *own, *paper).outerjoin(
            Paper, Paper.equipment_id == table.id
        )
        names = ("name", "note", *OWN_COLUMNS[kind], "paper", *PAPER)
        for key, *found in session.execute(query):
            values = dict(zip(names, found, strict=True))
            known.add(ItemOnRecord(key=key, kind=kind, paper=values.pop("paper"), values=values))
    return known


def _is_the_same_thing(intake: Intake, row: ValueRow, kind: str, name: str, known: ItemsKnown) -> bool:
    """Two things of one name, each with a tag or serial number of its own, are two rows of a sheet and not a change."""
    there = known.items.get((kind, name_key(name)))
    if there is None or there.above is None:
        return True
    for column in _OF_ONE_THING:
        above, here = there.above.values.get(column), row.values.get(column)
        if above is not None and here is not None and above != here:
            intake.fault(
                row.line,
                "name",
                f"row {there.above.line} has another {name} with the {_OF_ONE_THING[column]} {above!r}, this one "
                f"{here!r}. Give each a name of its own, such as {f'{name} ({here})'!r}.",
            )
            return False
    return True


def _tag_is_free(intake: Intake, line: int, kind: str, told: Mapping[str, Any], known: ItemsKnown) -> bool:
    has_it = known.tags.get(name_key(told["tag"])) if told.get("tag") else None
    if has_it is None or has_it is known.items.get((kind, name_key(told["name"]))):
        return True
    intake.fault(
        line, "tag", f"{told['tag']!r} is on {has_it.values['name']} already. Each tag is on one item."
    )
    return False


def _has_value(intake: Intake, line: int, kind: str, told: Mapping[str, Any], known: ItemsKnown) -> bool:
    """A valuation is of a value, in the sheet or on record."""
    there = known.items.get((kind, name_key(told["name"])))
    value = told.get("value", there.values.get("value") if there else None)
    said = next((column for column in VALUATION if told.get(column) is not None), None)
    if said is None or value is not None:
        return True
    intake.fault(line, said, "It is not said what the value is. Write it in a column headed 'value'.")
    return False


def _take(intake: Intake, row: ValueRow, kind: str, told: dict[str, Any], known: ItemsKnown) -> None:
    there, line = known.items.get((kind, name_key(told["name"]))), row.line
    if there is None:
        item = ItemOnRecord(key=_add(intake, kind, told), kind=kind, paper=None, values=told, above=row)
        item.paper = _add_paper(intake, item.key, told)
        known.add(item)
        intake.told(line, told["name"], Outcome.NEW, _new_words(kind, told), record=item.key)
        return
    changes = differences(there.values, {column: value for column, value in told.items() if column != "name"})
    words = change_words(there.values, changes)
    changes = _with_its_valuation(changes)
    there.values.update(changes)
    there.above = row
    known.add(there)
    _change(intake, there, changes)
    outcome = Outcome.CHANGED if changes else Outcome.SAME
    intake.told(line, there.values["name"], outcome, words, record=there.key)


def _with_its_valuation(changes: dict[str, Any]) -> dict[str, Any]:
    """An earlier valuation does not stay with another value; of which day that is, only the sheet can say."""
    return {**dict.fromkeys(VALUATION), **changes} if "value" in changes else changes


def _add(intake: Intake, kind: str, told: Mapping[str, Any]) -> UUID:
    own: dict[str, Any] = {STORED_AS.get(column, column): told.get(column) for column in OWN_COLUMNS[kind]}
    if kind == "item":
        own["sort"] = own["sort"] or "accessory"
    if kind == "mount":
        own["refraction"] = False
    return intake.add(
        TABLES[kind], name=told["name"], name_key=name_key(told["name"]), note=told.get("note"), **own
    )


def _add_paper(intake: Intake, item: UUID, told: Mapping[str, Any]) -> UUID | None:
    paper = {column: told.get(column) for column in PAPER}
    if all(value is None for value in paper.values()):
        return None
    return intake.add(Paper, equipment_id=item, **paper)


def _change(intake: Intake, item: ItemOnRecord, changes: Mapping[str, Any]) -> None:
    own = {STORED_AS.get(column, column): v for column, v in changes.items() if column not in PAPER}
    paper = {column: value for column, value in changes.items() if column in PAPER}
    intake.change(TABLES[item.kind], item.key, own)
    if paper and item.paper is None:
        item.paper = _add_paper(intake, item.key, paper)
    elif paper and item.paper is not None:
        intake.change(Paper, item.paper, paper)


def _new_words(kind: str, told: Mapping[str, Any]) -> str:
    """What it is, by which a wrong kind is seen at a glance, and what is still to be told of it."""
    return f"{kind if kind != 'item' else told.get('category') or 'accessory'}{_still_to_tell(kind, told)}"


def _still_to_tell(kind: str, told: Mapping[str, Any]) -> str:
    """What has to be known of it before it is of use on a night."""
    needed = {
        "mount": OWN_COLUMNS["mount"],
        "tube": OWN_COLUMNS["tube"],
        "eyepiece": ("focal_mm", "field_deg"),
    }.get(kind, ())
    known = {column for column, value in told.items() if value is not None}
    if "field_stop_mm" in known:
        known.add("field_deg")  # the true field follows from either
    missing = [column for column in needed if column not in known]
    return f"; still to be told: {', '.join(missing)}" if missing else ""
