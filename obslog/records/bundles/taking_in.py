"""Taking in what bundles tell: into the log first, then into the rows, all in one transaction."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Text, cast, select, update
from sqlalchemy.orm import Session

from obslog.exchange.bundles.entries import Entry
from obslog.records.bundles.log_writing import write_told
from obslog.records.bundles.new_records import insert_new
from obslog.records.bundles.receiving import keep_unknown
from obslog.records.bundles.told import Told, gather, once_each
from obslog.records.merging import obstacles
from obslog.records.merging.check_probe import CheckProbe
from obslog.records.merging.checks import ValueRefused, check_records
from obslog.records.merging.kinds import Kind, kinds
from obslog.records.merging.log_reading import LogReader
from obslog.records.merging.row_images import rows_of
from obslog.records.merging.settling import Settled, settle
from obslog.records.tables.column_types import key_of
from obslog.records.tables.logbook import Act


@dataclass(slots=True, kw_only=True)
class TakenIn:
    """What came of it: how many entries were new, records that went in at once, and what was settled."""

    acts: int
    changes: int
    records: int
    inserted: dict[str, int]
    settled: Settled = field(default_factory=Settled)


def take_in(
    session: Session,
    bundles: Iterable[Iterable[Entry]],
    prepare: Callable[[Session, Told], None] | None = None,
) -> TakenIn:
    """Take in what the bundles tell, in the session's transaction. `prepare` may change what is told before.

    Raises ValueRefused, ActNotTold, ActToldOtherwise, and what reading a bundle raises: then nothing may be kept.
    """
    told = Told()
    for entries in bundles:
        gather(entries, told)
    if prepare is not None:
        prepare(session, told)
    keep_unknown(session, told)
    for batch in told.batches.values():
        once_each(batch)
    _check(told)
    reader = LogReader(session=session, rows_now=lambda kind, ids: rows_of(session, kinds()[kind], ids))
    new = insert_new(session, told, reader)
    touched = {(kind, one) for kind, one in told.touched() if one not in new.inserted.get(kind, ())}
    if touched:
        _check_whole(told, new.inserted)
    write_told(session, told, reader, new.told_by_rows)
    mark_undone(session)
    if obstacles.any_obstacle(session):
        for ids in new.inserted.values():
            touched |= obstacles.hanging_on(session, ids)
    return TakenIn(
        acts=len(told.acts),
        changes=len(told.changes),
        records=sum(len(batch.ids) for batch in told.batches.values()),
        inserted={kind: len(ids) for kind, ids in new.inserted.items()},
        settled=settle(session, touched) if touched else Settled(),
    )


def mark_undone(session: Session) -> None:
    """Say at each act whether one that is not undone itself takes it back."""
    undoing = session.execute(
        select(cast(Act.id, Text), cast(Act.undoes_id, Text), Act.at_utc).where(Act.undoes_id.is_not(None))
    ).all()
    if not undoing:
        return
    by: dict[str, list[tuple[str, Any]]] = {}
    for act_id, undoes_id, at_utc in undoing:
        by.setdefault(undoes_id, []).append((act_id, at_utc))
    undone: dict[str, Any] = {}
    for target in sorted(by, reverse=True):  # who undoes is newer than what it undoes
        undone[target] = max((at for act_id, at in by[target] if undone.get(act_id) is None), default=None)
    marked = {
        key: at for key, at in session.execute(select(cast(Act.id, Text), Act.undone_utc)) if key in undone
    }
    for target, at_utc in undone.items():
        if target in marked and marked[target] != at_utc:
            session.execute(update(Act).where(Act.id == key_of(target)).values(undone_utc=at_utc))


def _check(told: Told) -> None:
    """Check every value of the kinds that are known, a column at a time. Raises ValueRefused.

    Of a person who was made nameless it is told that they were there, and nothing else.
    """
    alike: dict[tuple[str, tuple[str, ...]], tuple[list[str], list[tuple[Any, ...]]]] = {}
    for change in told.changes.values():
        for image in (change.before, change.after):
            if image is not None and not (image is change.before and image == {"id": change.record_id}):
                ids, rows = alike.setdefault((change.record_kind, tuple(image)), ([], []))
                ids.append(change.record_id)
                rows.append(tuple(image.values()))
    for batch in told.batches.values():
        ids, _rows = alike.setdefault((batch.kind, batch.columns), ([], []))
        if (kind := kinds().get(batch.kind)) is not None:
            check_records(kind, batch.columns, batch.ids, batch.rows)
    for (name, columns), (ids, rows) in alike.items():
        if rows and (kind := kinds().get(name)) is not None:
            check_records(kind, columns, ids, rows)


def _check_whole(told: Told, inserted: dict[str, set[str]]) -> None:
    """Check that no image contradicts itself; what went into its table has been checked by it. Raises ValueRefused."""
    probe = CheckProbe()
    try:
        for change in told.changes.values():
            kind = kinds().get(change.record_kind)
            if kind and change.after is not None and change.record_id not in inserted.get(kind.name, ()):
                _check_one(probe, kind, change.record_id, dict(change.after))
        for batch in told.batches.values():
            kind = kinds().get(batch.kind)
            if kind is None:
                continue
            there = inserted.get(kind.name, set())
            for record_id, row in zip(batch.ids, batch.rows, strict=True):
                if record_id not in there:
                    _check_one(probe, kind, record_id, dict(zip(batch.columns, row, strict=True)))
    finally:
        probe.close()


def _check_one(probe: CheckProbe, kind: Kind, record_id: str, image: dict[str, Any]) -> None:
    known = {name: value for name, value in image.items() if name in kind.columns}
    if probe.breaks(kind, known):
        raise ValueRefused(kind.name, record_id, "whole record", None, "contradicts itself")
