"""Records that nobody here knew and that break nothing: they go in by the hundred thousand, a column at a time.

What does not fit at once is left to settling, which takes more time and takes in everything.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Text, cast, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from obslog.records.bundles.told import Batch, Told
from obslog.records.history.batches import unpacked_keys
from obslog.records.history.folding import LogChange, fold
from obslog.records.merging import obstacles
from obslog.records.merging.checks import defaults
from obslog.records.merging.kinds import Kind, Once, kinds
from obslog.records.merging.log_reading import LogReader
from obslog.records.merging.row_images import by_many, ids_there, insert_columns, keys_held
from obslog.records.merging.same_aliases import read_aliases
from obslog.records.tables.base import name_key
from obslog.records.tables.column_types import key_of
from obslog.records.tables.logbook import Change, SameRecord

_MANY = 1000
Columns = Mapping[str, Sequence[Any]]


@dataclass(slots=True)
class NewRecords:
    """What of the told could go in at once."""

    inserted: dict[str, set[str]] = field(default_factory=dict)
    told_by_rows: set[str] = field(default_factory=set)  # batches whose rows are all that was told


def insert_new(session: Session, told: Told, reader: LogReader) -> NewRecords:
    """Insert what is new and fits, kind by kind, those first to which others refer."""
    done = NewRecords()
    touched: dict[str, set[str]] = {}
    for name, record_id in told.touched():
        touched.setdefault(name, set()).add(record_id)
    touched.pop(SameRecord.__name__, None)  # whoever stands for whom is settled
    fitting = _Fitting(session, done, _told_to_be_one(told))
    for kind in sorted(kinds().values(), key=lambda one: one.order):
        ids = touched.get(kind.name)
        if ids:
            new = ids - _known(session, kind, ids, reader)
            _insert_of_kind(fitting, kind, new, told)
    return done


def _insert_of_kind(fitting: "_Fitting", kind: Kind, new: set[str], told: Told) -> None:
    changes = [one for one in told.changes.values() if one.record_kind == kind.name]
    batches = [batch for batch in told.batches.values() if batch.kind == kind.name]
    in_changes = {change.record_id for change in changes}
    alone = [
        batch
        for batch in batches
        if batch.added and new.issuperset(batch.ids) and in_changes.isdisjoint(batch.ids)
    ]
    if len(batches) > 1:
        several = _told_twice(batches)
        alone = [batch for batch in alone if several.isdisjoint(batch.ids)]
    for batch in alone:
        columns: Columns = dict(zip(batch.columns, zip(*batch.rows, strict=True), strict=True))
        if _tells_all(kind, batch) and fitting.insert(kind, columns, batch.ids):
            fitting.done.told_by_rows.add(batch.id)
    rest = new - fitting.done.inserted.get(kind.name, set())
    if rest:
        images = _living(kind, rest, told)
        if images:
            names = [name for name in kind.columns if name != "search_text"]
            filled = defaults(kind)
            given = {name: [image.get(name, filled[name]) for image in images] for name in names}
            fitting.insert(kind, given, [image["id"] for image in images])


def _told_to_be_one(told: Told) -> set[str]:
    """The records of which it is told that they are one with another, or no longer."""
    name = SameRecord.__name__
    images = [
        image
        for change in told.changes.values()
        if change.record_kind == name
        for image in (change.before, change.after)
        if image is not None
    ]
    images += [
        dict(zip(batch.columns, row, strict=True))
        for batch in told.batches.values()
        if batch.kind == name
        for row in batch.rows
    ]
    return {str(image[column]) for image in images for column in ("gone_id", "kept_id")}


def _told_twice(batches: Sequence[Batch]) -> set[str]:
    once: set[str] = set()
    again: set[str] = set()
    for batch in batches:
        again |= once & set(batch.ids)
        once |= set(batch.ids)
    return again


def _tells_all(kind: Kind, batch: Batch) -> bool:
    """Whether the rows will say all that the batch does, and the batch all that the rows will."""
    return (set(kind.columns) - {"search_text"}) == (
        set(batch.columns) - {"search_text"}
    ) and not batch.withheld


def _living(kind: Kind, ids: set[str], told: Told) -> list[dict[str, Any]]:
    """The images of those that are new and alive by what is told of them."""
    entries: dict[str, list[LogChange]] = {}
    for change in told.changes.values():
        if change.record_kind == kind.name and change.record_id in ids:
            entries.setdefault(change.record_id, []).append(
                LogChange(
                    act_id=change.act_id,
                    change_id=change.id,
                    record_kind=kind.name,
                    record_id=change.record_id,
                    before=change.before,
                    after=change.after,
                )
            )
    for batch in told.batches.values():
        if batch.kind != kind.name or ids.isdisjoint(batch.ids):
            continue
        for record_id, row in zip(batch.ids, batch.rows, strict=True):
            if record_id in ids:
                image = dict(zip(batch.columns, row, strict=True))
                entries.setdefault(record_id, []).append(
                    LogChange(
                        act_id=batch.act_id,
                        change_id=batch.id,
                        record_kind=kind.name,
                        record_id=record_id,
                        before=None if batch.added else image,
                        after=image if batch.added else None,
                    )
                )
    states = [fold(of_it) for _record_id, of_it in sorted(entries.items())]
    return [state.fields for state in states if state.alive and "id" in state.fields]


class _Fitting:
    """Asks whether records fit beside what stands, and inserts those that do."""

    def __init__(self, session: Session, done: NewRecords, told_to_be_one: set[str]) -> None:
        self.session = session
        self.done = done
        self.aliased = set(read_aliases(session).kind_of) | told_to_be_one
        self.same = set(obstacles.same_records_by_meaning(session, list(kinds())))
        self.held: dict[tuple[str, Once], set[tuple[Any, ...]]] = {}

    def insert(self, kind: Kind, columns: Columns, ids: Sequence[str]) -> bool:
        """Insert those that fit; True where all did."""
        columns = {name: values for name, values in columns.items() if name in kind.columns}
        unfit = (
            self._aliased(ids)
            | self._without_targets(kind, columns, ids)
            | self._misnamed(kind, columns, ids)
        )
        unfit |= self._in_the_way(kind, columns, ids)
        if unfit:
            places = [place for place, record_id in enumerate(ids) if record_id not in unfit]
            columns = {name: [values[place] for place in places] for name, values in columns.items()}
            ids = [ids[place] for place in places]
        if ids and not self._insert(kind, columns, ids):
            return False
        return not unfit

    def _insert(self, kind: Kind, columns: Columns, ids: Sequence[str]) -> bool:
        try:
            with self.session.begin_nested():
                insert_columns(self.session, kind, columns)
        except IntegrityError:  # a CHECK over several columns: settling finds which record it was
            return False
        for once in kind.once:
            self.held.setdefault((kind.name, once), set()).update(
                key for key in _keys(once, columns) if key is not None
            )
        self.done.inserted.setdefault(kind.name, set()).update(ids)
        return True

    def _aliased(self, ids: Sequence[str]) -> set[str]:
        return self.aliased.intersection(ids) if self.aliased else set()

    def _without_targets(self, kind: Kind, columns: Columns, ids: Sequence[str]) -> set[str]:
        """Those that refer to what does not stand, or stands as another."""
        unfit: set[str] = set()
        for column, among in kind.refers.items():
            values = columns.get(column, ())
            targets = set(values) - {None}
            there = set() if kind.name in among else self._standing(among, targets)
            missing = (targets - there) | (targets & (self.aliased | self.same))
            if missing:
                unfit |= {one for one, target in zip(ids, values, strict=True) if target in missing}
        return unfit

    def _standing(self, among: Collection[str], targets: set[str]) -> set[str]:
        there: set[str] = set()
        for name in among:
            there |= self.done.inserted.get(name, set()) & targets
        for name in among:
            if targets - there:
                there |= ids_there(self.session, kinds()[name], targets - there)
        return there

    def _misnamed(self, kind: Kind, columns: Columns, ids: Sequence[str]) -> set[str]:
        if not kind.has_name:
            return set()
        pairs = zip(ids, columns["name"], columns["name_key"], strict=True)
        return {one for one, name, key in pairs if name_key(name) != key}

    def _in_the_way(self, kind: Kind, columns: Columns, ids: Sequence[str]) -> set[str]:
        """Those of which another holds already what only one may, or of which two hold it."""
        unfit: set[str] = set()
        for once in kind.once:
            held = set(self.held.get((kind.name, once), ()))
            keys = _keys(once, columns)
            first = {key[0] for key in keys if key}
            held |= keys_held(self.session, kind, once, first)
            seen: set[tuple[Any, ...]] = set()
            twice = {key for key in keys if key is not None and (key in seen or seen.add(key))}  # type: ignore[func-returns-value]
            taken = held | twice
            unfit |= {one for one, key in zip(ids, keys, strict=True) if key is not None and key in taken}
        return unfit


def _keys(once: Once, columns: Columns) -> list[tuple[Any, ...] | None]:
    """What may stand once of each record; None where nothing of it keeps others out."""
    keys = list(zip(*(columns[name] for name in once.columns), strict=True))
    if not once.columns:
        keys = [()] * len(columns["id"])
    closed = columns[once.while_open] if once.while_open else None
    if closed is None and not any(None in columns[name] for name in once.columns):
        return list(keys)
    return [
        None if None in key or (closed is not None and closed[place] is not None) else key
        for place, key in enumerate(keys)
    ]


def _known(session: Session, kind: Kind, ids: set[str], reader: LogReader) -> set[str]:
    """Which of the records the log or the tables know already."""
    low, high = min(ids), max(ids)
    known = _in_changes(session, kind, ids, low, high)
    for head in reader.heads(kind.name):
        if head.first_id <= high and low <= head.last_id:
            known |= ids.intersection(unpacked_keys(reader.keys(head.id)))
    return known | ids_there(session, kind, ids - known)


def _in_changes(session: Session, kind: Kind, ids: set[str], low: str, high: str) -> set[str]:
    query = select(cast(Change.record_id, Text)).where(Change.record_kind == kind.name).distinct()
    if len(ids) > _MANY:
        between = query.where(Change.record_id >= key_of(low), Change.record_id <= key_of(high))
        return ids.intersection(session.scalars(between))
    found: set[str] = set()
    for some in by_many(sorted(ids)):
        found |= set(session.scalars(query.where(Change.record_id.in_([key_of(one) for one in some]))))
    return found
