"""What the log holds, told as the entries of a bundle; what is to stay at home is left out or told only roughly."""

import json
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Text, cast, select
from sqlalchemy.orm import Session

from obslog.exchange.bundles.entries import ActEntry, BatchEntry, ChangeEntry, Entry
from obslog.records.history.batches import unpacked_images, unpacked_keys
from obslog.records.history.images import Image
from obslog.records.merging.kinds import kinds
from obslog.records.merging.log_reading import LogReader
from obslog.records.merging.row_images import by_many, columns_between, rows_of
from obslog.records.merging.same_aliases import read_aliases
from obslog.records.redaction.log_search import batched_images
from obslog.records.tables.column_types import key_of
from obslog.records.tables.logbook import Act, Change, ChangeBatch
from obslog.records.tables.places import Site

AT_HOME = frozenset({"Contact"})
"""Kinds that stay at home, whole."""
SITE = Site.__name__
ROUGHLY = ("lat_deg", "lon_deg")
ROUGH_DECIMALS = 2
"""Of a degree: 0.6 km on the ground, and at most half an arcminute in the altitude of the pole."""
ROWS_A_LINE = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """What of the log is told: `acts` and `changes` and `batches` by their keys, None is all.

    Of `whole_acts` all is told that they did; of other acts only a part, because it belongs to what was chosen.
    """

    acts: frozenset[str] | None = None
    changes: frozenset[str] | None = None
    batches: frozenset[str] | None = None
    with_private: bool = False
    whole_acts: frozenset[str] | None = None


def tell(session: Session, choice: Choice) -> Iterator[Entry]:
    """The entries chosen: acts first, in their order."""
    private = set() if choice.with_private else private_sites(session)
    yield from _acts(session, choice.acts)
    yield from _changes(session, choice, private)
    yield from _batches(session, choice, private)


def private_sites(session: Session) -> set[str]:
    """The keys of the sites whose place stays at home: private ones, those that were and are gone, and their twins."""
    query = select(cast(Site.id, Text), Site.private)
    private = {str(key): bool(is_so) for key, is_so in session.execute(query)}
    once_private = {str(image["id"]) for image in _images_of_sites(session) if image.get("private")}
    hidden = {key for key, is_so in private.items() if is_so} | (once_private - private.keys())
    standing = read_aliases(session).standing
    return hidden | {gone for gone, kept in standing.items() if kept in hidden}


def _images_of_sites(session: Session) -> Iterator[Image]:
    query = select(Change.before, Change.after).where(Change.record_kind == SITE)
    yield from (json.loads(image) for row in session.execute(query) for image in row if image)
    for _key, _kind, images in batched_images(session, SITE):
        yield from images


def _acts(session: Session, chosen: Collection[str] | None) -> Iterator[ActEntry]:
    query = select(
        cast(Act.id, Text),
        Act.at_utc,
        Act.sentence,
        Act.who,
        cast(Act.origin, Text),
        cast(Act.undoes_id, Text),
        Act.extra,
    ).order_by(Act.id)
    for act_id, at_utc, sentence, who, origin, undoes_id, extra in session.execute(query):
        if chosen is None or act_id in chosen:
            yield ActEntry(
                id=act_id,
                at_utc=at_utc,
                sentence=sentence,
                who=who,
                origin=origin,
                undoes_id=undoes_id,
                extra=json.loads(extra) if extra else {},
            )


def _changes(session: Session, choice: Choice, private: Collection[str]) -> Iterator[ChangeEntry]:
    query = select(
        cast(Change.id, Text),
        cast(Change.act_id, Text),
        Change.record_kind,
        cast(Change.record_id, Text),
        Change.before,
        Change.after,
        Change.withheld,
        Change.extra,
    ).order_by(Change.act_id, Change.id)
    for row in _chosen(session, query, Change.id, choice.changes):
        change_id, act_id, kind, record_id, before, after, withheld, extra = row
        if kind in AT_HOME and not choice.with_private:
            continue
        hidden = kind == SITE and record_id in private
        images = [None if image is None else json.loads(image) for image in (before, after)]
        kept_back = set(json.loads(withheld)) if withheld else set()
        if hidden:
            images = [image and roughly(image) for image in images]
            kept_back |= set(ROUGHLY)
        if images == [None, None]:
            continue
        yield ChangeEntry(
            id=change_id,
            act_id=act_id,
            record_kind=kind,
            record_id=record_id,
            before=images[0],
            after=images[1],
            withheld=tuple(sorted(kept_back)),
            extra=json.loads(extra) if extra else {},
        )


def roughly(image: Mapping[str, Any]) -> dict[str, Any]:
    """The image with its place rounded, so that nobody finds the house."""
    return {
        name: round(value, ROUGH_DECIMALS) if name in ROUGHLY and value is not None else value
        for name, value in image.items()
    }


def _batches(session: Session, choice: Choice, private: Collection[str]) -> Iterator[BatchEntry]:
    reader = LogReader(session=session, rows_now=lambda kind, ids: rows_of(session, kinds()[kind], ids))
    query = select(
        cast(ChangeBatch.id, Text),
        cast(ChangeBatch.act_id, Text),
        ChangeBatch.record_kind,
        ChangeBatch.what,
        ChangeBatch.record_ids,
        ChangeBatch.images,
        ChangeBatch.withheld,
        ChangeBatch.extra,
    ).order_by(ChangeBatch.act_id, ChangeBatch.id)
    for row in _chosen(session, query, ChangeBatch.id, choice.batches):
        batch_id, act_id, kind, what, packed, images, withheld, extra = row
        if kind in AT_HOME and not choice.with_private:
            continue
        ids = unpacked_keys(packed)
        columns, rows = unpacked_images(images) if images else _as_added(reader, kind, batch_id, ids)
        kept_back = set(json.loads(withheld)) if withheld else set()
        if kind == SITE and not set(private).isdisjoint(ids):
            rows = [
                _roughly_row(columns, row) if one in private else row
                for one, row in zip(ids, rows, strict=True)
            ]
            kept_back |= set(ROUGHLY)
        for first in range(0, len(ids), ROWS_A_LINE):
            yield BatchEntry(
                id=batch_id,
                act_id=act_id,
                record_kind=kind,
                what=what,
                columns=tuple(columns),
                ids=ids[first : first + ROWS_A_LINE],
                rows=[list(row) for row in rows[first : first + ROWS_A_LINE]],
                withheld=tuple(sorted(kept_back)),
                extra=json.loads(extra) if extra else {},
            )


def _as_added(
    reader: LogReader, kind: str, batch_id: str, ids: Sequence[str]
) -> tuple[list[str], list[Sequence[Any]]]:
    """What the records of a batch were when it added them."""
    columns, found = columns_between(reader.session, kinds()[kind], ids[0], ids[-1])
    place = columns.index("id")
    rows = {row[place]: row for row in found}
    changed = _changed_of(reader.session, kind, ids)
    entries = reader.entries(kind, [one for one in ids if one in changed or one not in rows])
    for record_id, of_it in entries.items():
        image = next((entry.after for entry in of_it if entry.change_id == batch_id), None) or {}
        if image.keys() == {"id"} and record_id in rows:  # a member who was made nameless: as they are since
            continue
        rows[record_id] = tuple(image.get(name) for name in columns)
    return columns, [rows[one] for one in ids]


def _changed_of(session: Session, kind: str, ids: Sequence[str]) -> set[str]:
    query = select(cast(Change.record_id, Text)).where(
        Change.record_kind == kind, Change.record_id >= key_of(ids[0]), Change.record_id <= key_of(ids[-1])
    )
    return set(session.scalars(query.distinct()))


def _roughly_row(columns: Sequence[str], row: Sequence[Any]) -> list[Any]:
    return list(roughly(dict(zip(columns, row, strict=True))).values())


def _chosen(session: Session, query: Any, key: Any, chosen: Collection[str] | None) -> Iterator[Any]:
    if chosen is None:
        yield from session.execute(query)
        return
    for some in by_many(sorted(chosen)):
        yield from session.execute(query.where(key.in_([key_of(one) for one in some])))
