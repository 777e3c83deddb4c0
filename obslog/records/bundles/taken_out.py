"""What another laptop took out of the log of members who left goes out of the log here too.

Who renamed a member there, whom this laptop never heard of by that name, took that name out of texts that both hold.
What differs in any other way is left as it is here: an act is never rewritten.
"""

import json
from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from typing import Any

from msgspec.structs import replace as with_fields
from sqlalchemy import Text, cast, select, update
from sqlalchemy.orm import Session

from obslog.exchange.bundles.entries import ActEntry, ChangeEntry
from obslog.records.bundles.least_told import sentence_and_author, with_less
from obslog.records.bundles.told import Batch, Told
from obslog.records.history.batches import unpacked_keys
from obslog.records.merging.kinds import kinds
from obslog.records.merging.log_reading import LogReader
from obslog.records.merging.row_images import by_many, rows_of
from obslog.records.nameless import NEUTRAL, TAKEN_OUT
from obslog.records.tables.column_types import key_of
from obslog.records.tables.logbook import Act, Change, ChangeBatch

Image = Mapping[str, Any]


def take_out_as_told(session: Session, told: Told) -> None:
    """Take out of acts here what was taken out of them as they are told, and tell entries that are known anew.

    These entries stay among what is told, marked as known, so that their records are settled once more.
    """
    _from_acts(session, [act for act in told.acts.values() if _is_without((act.sentence, act.who))])
    for change in _known_changes(session, told.changes):
        told.changes[change.id] = change
        told.whole_now.add(change.id)
    for batch in _known_batches(session, told.batches.values()):
        told.batches[batch.id] = batch
        told.whole_now.add(batch.id)


def _from_acts(session: Session, acts: Iterable[ActEntry]) -> None:
    told = {act.id: act for act in acts}
    for some in by_many(sorted(told)):
        query = select(cast(Act.id, Text), Act.sentence, Act.who).where(Act.id.in_(map(key_of, some)))
        for key, sentence, who in session.execute(query).all():
            act = told[key]
            new = sentence_and_author(sentence, who, act.sentence, act.who)
            if new != (sentence, who):
                session.execute(update(Act).where(Act.id == key_of(key)).values(sentence=new[0], who=new[1]))


def _known_changes(session: Session, told: Mapping[str, ChangeEntry]) -> Iterable[ChangeEntry]:
    """The entries here from which more was taken out as they are told, without that."""
    without = [
        key for key, one in told.items() if any(_is_without((image or {}).values()) for image in _images(one))
    ]
    query = select(cast(Change.id, Text), Change.before, Change.after, Change.withheld, Change.extra)
    for some in by_many(sorted(without)):
        for key, *kept in session.execute(query.where(Change.id.in_(map(key_of, some)))).all():
            before, after, withheld, extra = (json.loads(one) if one else None for one in kept)
            if len(told[key].withheld) < len(withheld or ()):
                continue  # what is told takes the place of this anyhow
            as_told = [
                here and with_less(here, there or {})
                for here, there in zip((before, after), _images(told[key]), strict=True)
            ]
            if as_told != [before, after]:
                yield with_fields(
                    told[key],
                    before=as_told[0],
                    after=as_told[1],
                    withheld=tuple(withheld or ()),
                    extra=extra or {},
                )


def _known_batches(session: Session, told: Iterable[Batch]) -> Iterable[Batch]:
    """The same of entries of many records."""
    reader = LogReader(session=session, rows_now=lambda kind, ids: rows_of(session, kinds()[kind], ids))
    query = select(ChangeBatch.record_ids, ChangeBatch.withheld, ChangeBatch.extra)
    for batch in told:
        here = session.execute(query.where(ChangeBatch.id == key_of(batch.id))).one_or_none()
        if here is None or batch.kind not in kinds():
            continue
        rows = {key: row for key, row in zip(batch.ids, batch.rows, strict=True) if _is_without(row)}
        if not rows:
            continue
        images = _of_batch(reader, batch, unpacked_keys(here.record_ids))
        new = {
            key: with_less(image, dict(zip(batch.columns, rows.get(key, ()), strict=False)))
            for key, image in images.items()
        }
        if new != images:
            columns = tuple(next(iter(images.values())))
            yield replace(
                batch,
                columns=columns,
                ids=list(new),
                rows=[[image[name] for name in columns] for image in new.values()],
                withheld=tuple(json.loads(here.withheld or "[]")),
                extra=json.loads(here.extra or "{}"),
            )


def _of_batch(reader: LogReader, batch: Batch, keys: Collection[str]) -> dict[str, dict[str, Any]]:
    """What the entry here says of each of its records."""
    return {
        key: dict(one.after or one.before or {})
        for key, entries in sorted(reader.entries(batch.kind, keys).items())
        for one in entries
        if one.change_id == batch.id
    }


def _images(change: ChangeEntry) -> tuple[Image | None, Image | None]:
    return change.before, change.after


def _is_without(values: Iterable[Any]) -> bool:
    return any(isinstance(value, str) and (NEUTRAL in value or TAKEN_OUT in value) for value in values)
