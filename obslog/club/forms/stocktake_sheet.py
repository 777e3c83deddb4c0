"""The sheet of a stocktake: what should be where, place by place, and room for what is found besides."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from datetime import date

from sqlalchemy import select

from obslog.club.forms.blocks import Block, Box, Boxes, Column, ColumnKind, Explanation, Form, Heading, Table
from obslog.club.forms.cautions import indoors
from obslog.club.routine.condition_words import read_words
from obslog.club.storeroom.custody import StoreStatus, state_of, state_of_part
from obslog.club.storeroom.store_list import StoreLine, store_list
from obslog.english import counted
from obslog.records.database import Database
from obslog.records.tables.base import spelt_once
from obslog.records.tables.lending import Kit, KitPart
from obslog.vocabulary.storeroom import Condition

TITLE = "Stocktake"
NO_PLACE, ON_LOAN, MISSING, LOOSE = (
    "No place on record",
    "On loan",
    "Missing",
    "Parts of kits without a record",
)
COLUMNS = (
    Column(title="seen", share=6, kind=ColumnKind.TICK),
    Column(title="tag", share=10),
    Column(title="name", share=27),
    Column(title="should be", share=22),
    Column(title="found where, if elsewhere", share=17),
)
NEW_COLUMNS = (
    Column(title="tag", share=10),
    Column(title="what it is", share=38),
    Column(title="found where", share=27),
)
NEW_ROWS = 8
Row = tuple[str, ...]


def stocktake_sheet(database: Database, today: date, *, with_names: bool = False) -> Form:
    """All that the club has in use or has lent; who has it only `with_names`."""
    lines = [line for line in store_list(database, with_names=with_names) if line.kind != "kit"]
    loose = _loose_parts(database)
    return Form(
        title=TITLE,
        about=f"as on record on {today}",
        dated=today,
        blocks=tuple(_blocks(lines, loose, _words(database))),
    )


def _words(database: Database) -> tuple[str, ...]:
    """The words for the condition of what is seen."""
    return tuple(one.word for one in read_words(database).words if one.means is not Condition.MISSING)


def _condition(share: int, words: tuple[str, ...]) -> Column:
    return Column(title="condition", share=share, kind=ColumnKind.RING, words=words)


def _blocks(lines: list[StoreLine], loose: list[Row], words: tuple[str, ...]) -> Iterator[Block]:
    columns = (*COLUMNS, _condition(18, words))
    yield indoors()
    yield Boxes((Box(label="Counted by", share=2.0), Box(label="On", hint="like 2026-03-02")))
    yield Explanation(
        "Tick what you have seen and ring its condition. What lies elsewhere is ticked too, and its place written "
        "down. A row without a tick is missing, or nobody looked: say which."
    )
    for place, rows in _by_place(lines):
        yield Heading(f"{place}: {counted(len(rows), 'item')}")
        yield Table(columns=columns, rows=tuple(rows), writing=True)
    if loose:
        yield Heading(f"{LOOSE}: {counted(len(loose), 'part')}")
        yield Table(columns=columns, rows=tuple(loose), writing=True)
    yield Heading("Not on record")
    yield Table(
        columns=(*NEW_COLUMNS, _condition(25, words)), blank_rows=NEW_ROWS, writing=True, fills_page=True
    )


def _by_place(lines: Iterable[StoreLine]) -> Iterator[tuple[str, list[Row]]]:
    """The places in order of their names, then what has no place, what is out and what is missed."""
    found: defaultdict[str, list[Row]] = defaultdict(list)
    groups = [(_group(line), _row(line)) for line in lines]
    places_spelt = spelt_once(group for group, _ in groups)
    for group, row in groups:
        found[places_spelt[group]].append(row)
    last = (NO_PLACE, ON_LOAN, MISSING)
    places = sorted((place for place in found if place not in last), key=str.casefold)
    for place in (*places, *(place for place in last if place in found)):
        yield place, found[place]


def _group(line: StoreLine) -> str:
    if line.status is StoreStatus.OUT:
        return ON_LOAN
    if line.status is StoreStatus.MISSING:
        return MISSING
    return line.place or NO_PLACE


def _row(line: StoreLine) -> Row:
    category = line.sort if line.kind == "item" and line.sort else line.kind
    return ("", line.tag or "", f"{line.name} ({category})", _should_be(line), "", "")


def _should_be(line: StoreLine) -> str:
    kit = f"in {line.kit}" if line.kit else ""
    if line.status is StoreStatus.OUT:
        return f"{line.where or 'on loan'}, due {line.due_on}"
    if line.status is StoreStatus.MISSING:
        return ", ".join(part for part in (f"missing since {line.missing_since}", line.place) if part)
    return ", ".join(part for part in (line.place, kit) if part)


def _loose_parts(database: Database) -> list[Row]:
    """What belongs to a kit by its name alone: caps, keys, a strap."""
    query = (
        select(KitPart, Kit.name)
        .join(Kit, KitPart.kit_id == Kit.id)
        .where(KitPart.left_on.is_(None), KitPart.equipment_id.is_(None), Kit.retired_on.is_(None))
        .order_by(Kit.name_key, KitPart.id)
    )
    with database.read() as session:
        state = state_of(session)
        found = [(part.label, kit, state_of_part(part, state)) for part, kit in session.execute(query).all()]
    return [
        ("", "", label, f"in {kit}{'' if now.status is StoreStatus.IN else f', {now.status}'}", "", "")
        for label, kit, now in found
    ]
