"""All that refers to one record moved to another that it is one with; what would then be there twice is made one."""

from collections import Counter
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog import fields as limits
from obslog.errors import ObslogError, quoted
from obslog.records.history.recorder import note_changed
from obslog.records.merging import obstacles
from obslog.records.merging.kinds import Kind, Once, Twice, kinds
from obslog.records.merging.same_aliases import read_aliases
from obslog.records.merging.standing import told_apart
from obslog.records.tables.base import Base
from obslog.records.tables.column_types import key_of
from obslog.records.tables.lending import Kit, KitPart
from obslog.records.tables.logbook import SameRecord

_KEEPS = frozenset({"id", "kind", "name", "name_key", "search_text"})


_ONLY_ONE = {
    "Loan": ("has a loan that is open", "Take one of them back first: obslog loan back NAME"),
    "LoanPart": ("is out with a loan that is open", "Take one of them back first: obslog loan back NAME"),
    "KitPart": ("is a part of another kit", "Take one of them out first: obslog kit remove KIT ITEM"),
}
_EARLIER = {"Absence": "since", "Reservation": "asked_utc"}
"""Kinds of which two that are open are one, which goes back to the earlier of the two."""


class BothAreOut(ObslogError):
    """What each of the two has or is, of which there can be only one: `kind` is the kind of the records that say so."""

    def __init__(self, kind: str) -> None:
        what, hint = _ONLY_ONE.get(
            kind, (f"has a {kind.lower()} of which only one can be", "End one of them first.")
        )
        super().__init__(f"Each of the two {what}, and only one can be.", f"Nothing was changed. {hint}")


class InTwoKits(BothAreOut):
    """Each of the two is in a kit: what can be done is said of the part that would go over, and of the two kits."""

    def __init__(self, goes_from: str, label: str, stays_in: str) -> None:
        super().__init__(KitPart.__name__)
        self.hint = (
            f"Nothing was changed. Take one of them out first: obslog kit remove {quoted(goes_from)} {quoted(label)}; "
            f"or join the kits, if they are one: obslog same {quoted(stays_in)} {quoted(goes_from)}"
        )


class TooManySetups(ObslogError):
    def __init__(self) -> None:
        super().__init__(
            "Together the two would have more set-ups in one night than can be numbered.",
            "Nothing was changed. See what is there: obslog night show",
        )


class PartMissing(ObslogError):
    def __init__(self, label: str) -> None:
        super().__init__(
            f"{label} is an item on record in the one kit, and missing as a mere label from the other.",
            "Nothing was changed. Take the label out of its kit first: obslog kit remove KIT PART",
        )


def make_one(session: Session, kind: Kind, stays: Any, goes: Any, moved: Counter[str]) -> None:
    """Move all from `goes` to `stays`, let `stays` learn what it does not know, and take `goes` away.

    Raises BothAreOut. `moved` counts the records of each table.
    """
    for other_name, column in kind.referred_by:
        other = kinds()[other_name]
        mapped = other.mapper.class_
        found = session.scalars(select(mapped).where(getattr(mapped, column) == goes.id).order_by(mapped.id))
        for record in found.all():
            moved[record.__tablename__.replace("_", " ")] += 1
            _move(session, other, record, column, stays.id, moved)
    _join_waiting(session, kind, stays, goes)
    _learn(kind, stays, goes)
    session.flush()
    session.add(SameRecord(record_kind=kind.name, gone_id=goes.id, kept_id=stays.id))
    session.delete(goes)
    session.flush()


def _move(session: Session, kind: Kind, record: Any, column: str, to: Any, moved: Counter[str]) -> None:
    for once in kind.once:
        if column not in once.columns or (once.while_open and getattr(record, once.while_open) is not None):
            continue
        twin = _twin(session, kind, once, record, column, to)
        if twin is None:
            continue
        if once.second is Twice.JOINED:
            _make_twins_one(session, kind, twin, record, moved)
            return
        if kind.name in _EARLIER:
            _make_earlier(session, kind, twin, record, moved)
            return
        if kind.name == KitPart.__name__ and _same_part(twin, record, column, to):
            _make_parts_one(session, kind, twin, record, moved)
            return
        if kind.name == KitPart.__name__ and column == "kit_id":
            record.label = told_apart(record.label, str(record.id))  # two items that have one name
            continue
        if isinstance(record, KitPart):
            raise InTwoKits(_kit_of(session, record), record.label, _kit_of(session, twin))
        if once.second is not Twice.NUMBERED:
            raise BothAreOut(kind.name)
        record.ordinal = _free_number(session, kind, once, record, column, to)
    setattr(record, column, to)
    session.flush()


def _kit_of(session: Session, part: KitPart) -> str:
    return session.get_one(Kit, part.kit_id).name


def _twin(session: Session, kind: Kind, once: Once, record: Any, column: str, to: Any) -> Any | None:
    mapped: type[Base] = kind.mapper.class_
    query = select(mapped).where(mapped.id != record.id)
    for name in once.columns:
        query = query.where(getattr(mapped, name) == (to if name == column else getattr(record, name)))
    if once.while_open:
        query = query.where(getattr(mapped, once.while_open).is_(None))
    return session.scalars(query).first()


def _make_twins_one(session: Session, kind: Kind, twin: Any, record: Any, moved: Counter[str]) -> None:
    """A night of the one site is the night of the other; a paper learns what the other paper says."""
    if kind.referred_by:
        make_one(session, kind, twin, record, moved)
        return
    told = {name: getattr(record, name) for name in kind.columns}
    session.delete(record)
    session.flush()
    for name, value in told.items():
        if name not in _KEEPS and value is not None and getattr(twin, name) is None:
            setattr(twin, name, value)
    session.flush()


def _make_earlier(session: Session, kind: Kind, twin: Any, record: Any, moved: Counter[str]) -> None:
    """Who waits twice waits once, since they first asked; what is missing twice is missing once."""
    name = _EARLIER[kind.name]
    earlier = min(getattr(twin, name), getattr(record, name))
    make_one(session, kind, twin, record, moved)
    setattr(twin, name, earlier)
    session.flush()


def _same_part(twin: KitPart, record: KitPart, column: str, to: Any) -> bool:
    """Whether two parts are one when a column of the second says the same as that of the first."""
    of_kit, of_item = (to if column == name else getattr(record, name) for name in ("kit_id", "equipment_id"))
    items = {item for item in (twin.equipment_id, of_item) if item is not None}
    return bool(twin.kit_id == of_kit) and len(items) <= 1


def _make_parts_one(session: Session, kind: Kind, twin: Any, record: Any, moved: Counter[str]) -> None:
    """A part that was an item in one kit and a label in the other is the item."""
    item = record.equipment_id if twin.equipment_id is None else None
    if (item is not None and twin.missing_since) or (twin.equipment_id is not None and record.missing_since):
        raise PartMissing(record.label)
    joined_on = min(twin.joined_on, record.joined_on)
    make_one(session, kind, twin, record, moved)
    twin.equipment_id, twin.joined_on = item or twin.equipment_id, joined_on
    session.flush()


def _join_waiting(session: Session, kind: Kind, stays: Any, goes: Any) -> None:
    """Parts of a kit that wait only because the kit was typed twice: each is that which stands."""
    if kind.name != Kit.__name__:
        return
    parts = session.scalars(
        select(KitPart).where(KitPart.kit_id == stays.id, KitPart.left_on.is_(None))
    ).all()
    aliases = read_aliases(session)
    for other, key, image in obstacles.parked_images(session):
        if other != KitPart.__name__ or image.get("left_on") is not None:
            continue
        waiting = aliases.standing_in(image, ("kit_id", "equipment_id"))
        if waiting["kit_id"] not in (str(goes.id), str(stays.id)):
            continue
        for part in parts:
            item = str(part.equipment_id) if part.equipment_id else None
            if item == waiting["equipment_id"] and (item or part.label == image["label"]):
                note_changed(session, other, key, image, None)
                session.add(SameRecord(record_kind=other, gone_id=key_of(key), kept_id=part.id))


def _free_number(session: Session, kind: Kind, once: Once, record: Any, column: str, to: Any) -> int:
    mapped: Any = kind.mapper.class_
    query = select(mapped.ordinal)
    for name in once.columns[:-1]:
        query = query.where(getattr(mapped, name) == (to if name == column else getattr(record, name)))
    taken = set(session.scalars(query))
    highest = int(limits.SETUP_ORDINAL.high)
    behind = max(taken, default=0) + 1
    for number in (behind, *range(1, highest + 1)):
        if number <= highest and number not in taken:
            return int(number)
    raise TooManySetups


def _learn(kind: Kind, stays: Any, goes: Any) -> None:
    """What is not known of the one and is of the other; the other's name stays in the note."""
    refers = kind.refers
    for name in kind.columns:
        if name in _KEEPS or name in refers or name in ("note", "retired_on", "retired_why"):
            continue
        if getattr(stays, name) is None and getattr(goes, name) is not None:
            setattr(stays, name, getattr(goes, name))
    if not hasattr(stays, "note"):
        return
    also = None
    if kind.has_name and goes.name != told_apart(stays.name, str(goes.id)):
        also = f"also written {goes.name}"
    stays.note = "; ".join(dict.fromkeys(part for part in (stays.note, goes.note, also) if part)) or None
    if kind.has_name and goes.retired_on is None:
        stays.retired_on = stays.retired_why = None
