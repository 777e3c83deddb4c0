"""All that refers to one record moved to another that it is one with; what would then be there twice is made one."""

from collections import Counter
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog import fields as limits
from obslog.errors import ObslogError
from obslog.records.merging.kinds import Kind, Once, Twice, kinds
from obslog.records.merging.standing import told_apart
from obslog.records.tables.base import Base
from obslog.records.tables.logbook import SameRecord

_KEEPS = frozenset({"id", "kind", "name", "name_key", "search_text"})


class BothAreOut(ObslogError):
    def __init__(self, what: str) -> None:
        super().__init__(
            f"Each of the two has {what} that is open, and only one can be.",
            "End one of them first. Nothing was changed.",
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
        if once.second is not Twice.NUMBERED:
            raise BothAreOut(f"a {kind.name.lower()}")
        record.ordinal = _free_number(session, kind, once, record, column, to)
    setattr(record, column, to)
    session.flush()


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
    raise BothAreOut("so many set-ups")


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
