"""One night of the log, with all that it refers to."""

import json
from collections.abc import Collection

from sqlalchemy import or_, select
from sqlalchemy.orm import Session

from obslog.records.bundles.telling import Choice
from obslog.records.bundles.whole_records import Key, all_of, batches_of, said_to_be, with_people_named
from obslog.records.history.batches import unpacked_keys
from obslog.records.history.images import Image
from obslog.records.merging.kinds import Kind, kinds
from obslog.records.merging.row_images import referring_ids, rows_of
from obslog.records.redaction.log_search import batched_images
from obslog.records.tables.logbook import Change

_HANG_ON_NIGHTS = ("Night", "Setup")


def choose_night(session: Session, night_id: str, *, with_private: bool) -> Choice:
    """All that is on record of a night, what was taken out of it too, and of whatever this refers to."""
    found = _with_what_hangs_on(session, {("Night", night_id)})
    while True:
        found = _with_targets(session, found)
        batches = batches_of(session, found)
        whole = {(kind, key) for kind, packed in batches.values() for key in unpacked_keys(packed)}
        if whole <= found:
            break
        found |= whole
    return with_people_named(session, all_of(session, found, with_private=with_private))


def _with_what_hangs_on(session: Session, found: set[Key]) -> set[Key]:
    for name in _HANG_ON_NIGHTS:
        ids = {record_id for kind, record_id in found if kind == name}
        kind = kinds()[name]
        found = found | referring_ids(session, kind, ids) | _once_referring(session, kind, ids)
    return found


def _once_referring(session: Session, kind: Kind, ids: Collection[str]) -> set[Key]:
    """The records that by the log refer, or once did, to one of these of a kind: what was removed has no row."""
    columns: dict[str, list[str]] = {}
    for other, column in kind.referred_by:
        columns.setdefault(other, []).append(column)
    singly = select(Change.record_kind, Change.before, Change.after).where(Change.record_kind.in_(columns))
    images: list[tuple[str, Image]] = []
    for one in ids:
        of_one = singly.where(or_(Change.before.contains(one), Change.after.contains(one)))
        for other, *both in session.execute(of_one):
            images += [(other, json.loads(image)) for image in both if image]
    for other in columns if ids else ():
        images += [(other, image) for *_, several in batched_images(session, other) for image in several]
    return {
        (other, str(image["id"]))
        for other, image in images
        if any(image.get(column) in ids for column in columns[other])
    }


def _with_targets(session: Session, found: set[Key]) -> set[Key]:
    """The records, and all that they refer to, and so on."""
    found = set(found)
    fresh = set(found)
    while fresh:
        targets: set[Key] = set()
        for name, kind in kinds().items():
            ids = {record_id for one, record_id in fresh if one == name}
            for row in rows_of(session, kind, ids).values() if ids else ():
                for column, among in kind.refers.items():
                    if row[column] is not None:
                        targets |= {(other, row[column]) for other in among}
        fresh = (targets | said_to_be(session, {key for _kind, key in targets})) - found
        found |= fresh
    return found
