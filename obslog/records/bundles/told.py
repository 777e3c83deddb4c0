"""What bundles tell, put together: each act and change once, and the lines of a batch as one."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from obslog.exchange.bundles.entries import ActEntry, BatchEntry, ChangeEntry, Entry
from obslog.records.bundles.least_told import least_act, least_change, with_less
from obslog.records.tables.logbook_tables import Member


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
            other = told.acts.get(entry.id)
            told.acts[entry.id] = entry if other is None else least_act(entry, other)
        elif isinstance(entry, ChangeEntry):
            if entry.record_kind == Member.__name__:
                _add_names(told, (image for image in (entry.before, entry.after) if image))
            known = told.changes.get(entry.id)
            told.changes[entry.id] = entry if known is None else least_change(known, entry)
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
    images: dict[str, dict[str, Any]] = {}
    for key, row in zip(batch.ids, batch.rows, strict=True):
        image = dict(zip(batch.columns, row, strict=True))
        images[key] = with_less(image, images.get(key, {}))
    batch.ids = sorted(images)
    batch.rows = [list(images[key].values()) for key in batch.ids]
