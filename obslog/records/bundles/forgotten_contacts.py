"""How members who were made nameless were reached: that goes out of the log, of the rows, and of what bundles tell.

A contact belongs to the member for whom it was first written down, whomever it went over to when two were made one. Of
one that was another's, only what was written of it while it was with them goes.
"""

import json
from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import Any

from sqlalchemy import Text, cast, delete, select
from sqlalchemy.orm import Session

from obslog.records.bundles.told import Batch, Told
from obslog.records.merging.obstacles import drop_of
from obslog.records.merging.settling import settle
from obslog.records.redaction.log_rewriting import drop_changes, empty_in_batches
from obslog.records.redaction.log_search import batched_images
from obslog.records.tables.column_types import key_of
from obslog.records.tables.logbook import Change, ChangeBatch
from obslog.records.tables.storeroom import Contact

CONTACT, OWNER = Contact.__name__, "member_id"
Image = Mapping[str, Any]


def contacts_of(session: Session, told: Told, forgotten: Collection[str]) -> set[str]:
    """The keys of the contacts, on record or told, that were first written down for one of them."""
    first: dict[str, tuple[str, bool, str]] = {}
    for act_id, is_after, image in (*_images_here(session), *_images_told(told)):
        if image.get(OWNER) is not None:
            this = act_id, is_after, str(image[OWNER])
            first[image["id"]] = min(this, first.get(image["id"], this))
    rows = session.execute(select(cast(Contact.id, Text), cast(Contact.member_id, Text)))
    owners = dict(rows.all()) | {key: owner for key, (*_, owner) in first.items()}
    return {key for key, owner in owners.items() if owner in forgotten}


def take_out_of_log(session: Session, forgotten: Collection[str], contacts: Collection[str]) -> None:
    """Take these contacts out of the log and the rows, and of others what was written while they were theirs."""
    query = select(Change.id, cast(Change.record_id, Text), Change.before, Change.after)
    entries = {
        entry: key
        for entry, key, *images in session.execute(query.where(Change.record_kind == CONTACT)).all()
        if _is_theirs([json.loads(one) for one in images if one], forgotten, contacts)
    }
    many = {
        image["id"]
        for _, _, images in batched_images(session, CONTACT)
        for image in images
        if _is_theirs([image], forgotten, contacts)
    }
    if entries:
        drop_changes(session, list(entries))
    if many:
        empty_in_batches(session, [key_of(key) for key in many])
    drop_of(session, contacts)
    session.execute(delete(Contact).where(Contact.id.in_([key_of(key) for key in contacts])))
    others = {*entries.values(), *many}.difference(contacts)
    if others:
        settle(session, {(CONTACT, key) for key in others})


def take_out_of_told(told: Told, forgotten: Collection[str], contacts: Collection[str]) -> None:
    """Take the same out of what is told."""
    for key, change in list(told.changes.items()):
        images = [image for image in (change.before, change.after) if image]
        if change.record_kind == CONTACT and _is_theirs(images, forgotten, contacts):
            del told.changes[key]
    for key, batch in list(told.batches.items()):
        if batch.kind == CONTACT:
            stay = [
                place
                for place, image in enumerate(_images(batch))
                if not _is_theirs([image], forgotten, contacts)
            ]
            batch.ids = [batch.ids[place] for place in stay]
            batch.rows = [batch.rows[place] for place in stay]
            if not stay:
                del told.batches[key]


def _is_theirs(images: Collection[Image], forgotten: Collection[str], contacts: Collection[str]) -> bool:
    """Whether an entry tells how one of them was reached; that a contact is gone tells nothing, and stays."""
    if not any(OWNER in image for image in images):
        return False
    return any(image.get("id") in contacts or image.get(OWNER) in forgotten for image in images)


def _images_here(session: Session) -> Iterator[tuple[str, bool, Image]]:
    """The act of each image of a contact, whether it is of what came of that, and the image."""
    query = select(cast(Change.act_id, Text), Change.before, Change.after)
    for act_id, *images in session.execute(query.where(Change.record_kind == CONTACT)):
        yield from _in_turn(act_id, *(json.loads(image) if image else None for image in images))
    acts = select(ChangeBatch.id, cast(ChangeBatch.act_id, Text)).where(ChangeBatch.record_kind == CONTACT)
    of_batches = dict(session.execute(acts).all())
    for key, _, images_of_many in batched_images(session, CONTACT):
        yield from ((of_batches[key], False, image) for image in images_of_many)


def _images_told(told: Told) -> Iterator[tuple[str, bool, Image]]:
    for change in told.changes.values():
        if change.record_kind == CONTACT:
            yield from _in_turn(change.act_id, change.before, change.after)
    for batch in told.batches.values():
        if batch.kind == CONTACT:
            yield from ((batch.act_id, False, image) for image in _images(batch))


def _in_turn(act_id: str, *images: Image | None) -> Iterator[tuple[str, bool, Image]]:
    yield from ((act_id, bool(place), image) for place, image in enumerate(images) if image)


def _images(batch: Batch) -> Iterable[Image]:
    return (dict(zip(batch.columns, row, strict=True)) for row in batch.rows)
