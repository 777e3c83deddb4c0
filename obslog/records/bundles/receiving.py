"""What a bundle tells that is not known yet is added to the log, after every value was checked as if it was typed."""

import json
import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, cast

from sqlalchemy import Table, Text, select, update
from sqlalchemy import cast as as_type
from sqlalchemy.orm import Session

from obslog.errors import WrongInput
from obslog.exchange.bundles.entries import ActEntry, BatchEntry, ChangeEntry, Entry
from obslog.fields import TextField
from obslog.records.bulk_insert import insert_rows
from obslog.records.history.batches import packed_images, packed_keys
from obslog.records.history.folding import LogChange
from obslog.records.merging.batch_images import keep_images_of
from obslog.records.merging.kinds import kinds
from obslog.records.merging.log_reading import LogReader
from obslog.records.merging.row_images import by_many
from obslog.records.tables.base import Base
from obslog.records.tables.column_types import key_of, stored_utc
from obslog.records.tables.logbook import Act, Change, ChangeBatch
from obslog.records.tables.logbook_tables import Member

_SENTENCE = TextField("The sentence of an act", 1000)
_KIND = re.compile("[A-Za-z]{1,100}")
_WHO = TextField("The name at an act", 200)


class ActNotTold(WrongInput):
    def __init__(self, act_id: str) -> None:
        super().__init__(
            f"The bundle tells of act {act_id[-6:]}, which neither it nor this database holds.",
            "Nothing was taken in. Ask for a bundle of everything: obslog bundle write --all FILE",
        )


class ActToldOtherwise(WrongInput):
    def __init__(self, act_id: str) -> None:
        super().__init__(
            f"The bundle tells of act {act_id[-6:]} otherwise than this database.",
            "Nothing was taken in. An act is never rewritten: ask whoever wrote the bundle where it is from.",
        )


class ActOutOfOrder(WrongInput):
    def __init__(self, act_id: str) -> None:
        super().__init__(
            f"In the bundle act {act_id[-6:]} takes back an act that is later than itself.",
            "Nothing was taken in. No program writes this: ask whoever wrote the bundle where it is from.",
        )


class StrangeKind(WrongInput):
    def __init__(self, kind: str) -> None:
        super().__init__(
            f"The bundle tells of a kind of record with the name {kind[:40]!r}.",
            "Nothing was taken in. Kinds have names of letters: ask whoever wrote the bundle where it is from.",
        )


@dataclass(slots=True, kw_only=True)
class Batch:
    """A batch whose lines were put together."""

    id: str
    act_id: str
    kind: str
    what: str
    columns: tuple[str, ...]
    ids: list[str]
    rows: list[Sequence[Any]]
    withheld: tuple[str, ...]
    extra: dict[str, Any]

    @property
    def added(self) -> bool:
        return self.what == "added"


@dataclass(slots=True, kw_only=True)
class Told:
    """All that bundles tell and is not known yet, each entry once."""

    acts: dict[str, ActEntry] = field(default_factory=dict)
    changes: dict[str, ChangeEntry] = field(default_factory=dict)
    batches: dict[str, Batch] = field(default_factory=dict)
    whole_now: set[str] = field(default_factory=set)
    """Entries that are known here, but only roughly, or with more of somebody who left."""
    member_names: set[tuple[str, str]] = field(default_factory=set)
    """The key of each member with every name that any of the bundles tells, also where another tells it otherwise."""

    def touched(self) -> set[tuple[str, str]]:
        """Kind and key of each record that something new is told of."""
        one_by_one = {(change.record_kind, change.record_id) for change in self.changes.values()}
        together = {(batch.kind, one) for batch in self.batches.values() for one in batch.ids}
        return one_by_one | together


def gather(entries: Iterable[Entry], told: Told) -> None:
    """Add the entries of a bundle to what is told; the parts of a batch are put together."""
    for entry in entries:
        if isinstance(entry, ActEntry):
            told.acts[entry.id] = entry
        elif isinstance(entry, ChangeEntry):
            if entry.record_kind == Member.__name__:
                _add_names(told, (image for image in (entry.before, entry.after) if image))
            known = told.changes.get(entry.id)
            if known is None or len(entry.withheld) < len(known.withheld):
                told.changes[entry.id] = entry
        else:
            if entry.record_kind == Member.__name__:
                _add_names(told, (dict(zip(entry.columns, row, strict=True)) for row in entry.rows))
            _gather_batch(entry, told.batches)


def _add_names(told: Told, images: Iterable[Mapping[str, Any]]) -> None:
    told.member_names |= {
        (str(image["id"]), image["name"])
        for image in images
        if "id" in image and isinstance(image.get("name"), str) and image["name"].strip()
    }


def keep_unknown(session: Session, told: Told) -> None:
    """Leave of what is told only what this database does not know.

    Raises ActNotTold, ActToldOtherwise, ActOutOfOrder, StrangeKind.
    """
    _refuse_strange(told)
    here = _acts_here(session, told.acts)
    for act_id, at_utc in here.items():
        act = told.acts[act_id]
        if at_utc != stored_utc(act.at_utc):  # the sentence may be without a name that was removed since
            raise ActToldOtherwise(act_id)
        del told.acts[act_id]
    for known, told_of in (
        (_known_roughly(session, Change, told.changes), told.changes),
        (_known_roughly(session, ChangeBatch, told.batches), told.batches),
    ):
        for key, withheld in known.items():
            entry: Any = cast(Any, told_of)[key]
            if len(entry.withheld) < withheld:
                told.whole_now.add(key)
            elif key not in told.whole_now:
                del cast(Any, told_of)[key]
    _expect_acts(session, told)


def write_told(session: Session, told: Told, reader: LogReader, without_images: Collection[str]) -> None:
    """Put what is told into the log; of batches in `without_images` the rows tell what was added."""
    _keep_what_rows_tell(reader, told)
    _write_acts(session, told)
    _write_changes(session, told)
    _write_batches(session, told, without_images)
    for batch in told.batches.values():
        reader.forget(batch.id)


def _refuse_strange(told: Told) -> None:
    for act in told.acts.values():
        if act.undoes_id is not None and act.undoes_id >= act.id:
            raise ActOutOfOrder(act.id)
    of_changes = {change.record_kind for change in told.changes.values()}
    for kind in of_changes | {batch.kind for batch in told.batches.values()}:
        if not _KIND.fullmatch(kind):
            raise StrangeKind(kind)


def _gather_batch(entry: BatchEntry, batches: dict[str, Batch]) -> None:
    batch = batches.get(entry.id)
    if batch is None:
        batches[entry.id] = Batch(
            id=entry.id,
            act_id=entry.act_id,
            kind=entry.record_kind,
            what=entry.what,
            columns=entry.columns,
            ids=list(entry.ids),
            rows=list(entry.rows),
            withheld=entry.withheld,
            extra=dict(entry.extra),
        )
    elif entry.columns == batch.columns:
        batch.ids += entry.ids
        batch.rows += entry.rows
    else:
        _add_with_other_columns(batch, entry)


def _add_with_other_columns(batch: Batch, entry: BatchEntry) -> None:
    columns = (*batch.columns, *(name for name in entry.columns if name not in batch.columns))
    images = [dict(zip(entry.columns, row, strict=True)) for row in entry.rows]
    missing = [None] * (len(columns) - len(batch.columns))
    batch.rows = [[*row, *missing] for row in batch.rows]
    batch.rows += [[image.get(name) for name in columns] for image in images]
    batch.columns, batch.ids = columns, [*batch.ids, *entry.ids]


def once_each(batch: Batch) -> None:
    """The records of a batch in the order of their keys, each once: two bundles may have told the same batch."""
    if all(low < high for low, high in zip(batch.ids, batch.ids[1:], strict=False)):
        return
    rows = dict(zip(batch.ids, batch.rows, strict=True))
    batch.ids = sorted(rows)
    batch.rows = [rows[key] for key in batch.ids]


def _acts_here(session: Session, ids: Collection[str]) -> dict[str, str]:
    found: dict[str, str] = {}
    for some in by_many(sorted(ids)):
        query = select(as_type(Act.id, Text), Act.at_utc).where(Act.id.in_([key_of(one) for one in some]))
        found |= {key: stored_utc(at) for key, at in session.execute(query)}
    return found


def _known_roughly(
    session: Session, kind: type[Change] | type[ChangeBatch], ids: Collection[str]
) -> dict[str, int]:
    """Of those that are known how many columns of each are withheld here."""
    found: dict[str, int] = {}
    for some in by_many(sorted(ids)):
        query = select(as_type(kind.id, Text), kind.withheld).where(
            kind.id.in_([key_of(one) for one in some])
        )
        found |= {key: len(json.loads(kept)) if kept else 0 for key, kept in session.execute(query)}
    return found


def _expect_acts(session: Session, told: Told) -> None:
    wanted = {change.act_id for change in told.changes.values()}
    wanted |= {batch.act_id for batch in told.batches.values()}
    wanted |= {act.undoes_id for act in told.acts.values() if act.undoes_id is not None}
    missing = wanted - told.acts.keys()
    here: set[str] = set()
    for some in by_many(sorted(missing)):
        query = select(as_type(Act.id, Text)).where(Act.id.in_([key_of(one) for one in some]))
        here |= set(session.scalars(query))
    if not_told := sorted(missing - here):
        raise ActNotTold(not_told[0])


def _keep_what_rows_tell(reader: LogReader, told: Told) -> None:
    """Keep the images of records that only their rows tell, where a change that comes in found something else."""
    first: dict[str, dict[str, ChangeEntry]] = {}
    for change in sorted(told.changes.values(), key=lambda one: (one.act_id, one.id), reverse=True):
        if change.before is not None:
            first.setdefault(change.record_kind, {})[change.record_id] = change
    for kind, changes in first.items():
        if kind not in kinds() or all(head.with_images for head in reader.heads(kind)):
            continue
        entries = reader.entries(kind, changes)
        keep_images_of(
            reader, kind, [key for key, of_it in entries.items() if _would_tell(of_it, changes[key])]
        )


def _would_tell(entries: Iterable[LogChange], first: ChangeEntry) -> bool:
    """Whether a change that comes in would tell another beginning of a record than what is known here."""
    earlier = any(one.before is not None and one.act_id < first.act_id for one in entries)
    return not earlier and any(
        one.before is None and one.after is not None and not _agrees(one.after, first.before or {})
        for one in entries
    )


def _agrees(kept: Mapping[str, Any], found: Mapping[str, Any]) -> bool:
    return all(found.get(name, value) == value for name, value in kept.items())


def _write_acts(session: Session, told: Told) -> None:
    columns = ("id", "at_utc", "sentence", "who", "origin", "undoes_id", "extra")
    rows = [
        (
            act.id,
            stored_utc(act.at_utc),
            _SENTENCE.checked(act.sentence),
            _WHO.checked_or_none(act.who),
            act.origin,
            act.undoes_id,
            _json(act.extra),
        )
        for act in sorted(told.acts.values(), key=lambda act: act.id)
    ]
    insert_rows(session, _table(Act), columns, rows)


def _write_changes(session: Session, told: Told) -> None:
    columns = ("id", "act_id", "record_kind", "record_id", "before", "after", "withheld", "extra")
    ordered = sorted(told.changes.values(), key=lambda change: (change.act_id, change.id))
    rows = {
        change.id: (
            change.id,
            change.act_id,
            change.record_kind,
            change.record_id,
            _json(change.before, empty=True),
            _json(change.after, empty=True),
            _json(change.withheld),
            _json(change.extra),
        )
        for change in ordered
    }
    insert_rows(
        session, _table(Change), columns, [row for key, row in rows.items() if key not in told.whole_now]
    )
    for key, row in rows.items():
        if key in told.whole_now:
            values = dict(zip(columns[4:], row[4:], strict=True))
            session.execute(update(Change).where(Change.id == key_of(key)).values(values))


def _write_batches(session: Session, told: Told, without_images: Collection[str]) -> None:
    columns = [column.name for column in _table(ChangeBatch).columns]
    for batch in told.batches.values():
        images = None if batch.id in without_images else packed_images(batch.columns, batch.rows)
        if batch.id in told.whole_now:
            values = {"images": images, "withheld": _json(batch.withheld)}
            session.execute(update(ChangeBatch).where(ChangeBatch.id == key_of(batch.id)).values(values))
            continue
        row = ChangeBatch(
            act_id=key_of(batch.act_id),
            record_kind=batch.kind,
            what=batch.what,
            first_id=key_of(batch.ids[0]),
            last_id=key_of(batch.ids[-1]),
            records=len(batch.ids),
            record_ids=packed_keys(batch.ids),
            images=images,
            withheld=_json(batch.withheld),
            extra=_json(batch.extra),
        )
        row.id = key_of(batch.id)
        told_of = tuple(getattr(row, name) for name in columns)
        insert_rows(session, _table(ChangeBatch), columns, [told_of])


def _json(value: Any, *, empty: bool = False) -> str | None:
    return json.dumps(value) if value or (empty and value is not None) else None


def _table(kind: type[Base]) -> Table:
    return cast(Table, kind.__table__)
