"""What the record of acts still knows: all that a record ever was, and what went with it."""

import json
from collections.abc import Iterator
from typing import Any
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.records.history.acts import that_hold
from obslog.records.history.batches import unpacked_images
from obslog.records.history.images import Image
from obslog.records.tables.logbook import Act, Change, ChangeBatch


def earlier_values(session: Session, record_id: UUID, column: str) -> set[str]:
    """All that a column of a record ever held by the record of acts."""
    query = select(Change.before, Change.after).where(Change.record_id == record_id)
    images = [json.loads(image) for row in session.execute(query) for image in row if image]
    images += [
        image for _, _, found in batched_images(session) for image in found if image["id"] == str(record_id)
    ]
    return {image[column] for image in images if image.get(column)}


def joined_to(session: Session, kind: str, record_id: UUID) -> list[UUID]:
    """Keys of the records of that kind that went in an act which changed this one, and did not come back."""
    acts = (
        select(Change.act_id)
        .join(Act, Act.id == Change.act_id)
        .where(Change.record_id == record_id, *that_hold())
    )
    gone = select(Change.record_id).where(
        Change.act_id.in_(acts),
        Change.record_kind == kind,
        Change.after.is_(None),
        Change.record_id != record_id,
    )
    return list(session.scalars(gone.distinct().order_by(Change.record_id)))


def changes_of_kind(session: Session, kind: str, column: str, value: str) -> list[tuple[UUID, UUID]]:
    """Keys of the entries, and of their records, of a kind of record in which a column had a value."""
    query = select(Change).where(Change.record_kind == kind).order_by(Change.id)
    found = [
        (change.id, change.record_id)
        for change in session.scalars(query)
        if any(json.loads(image).get(column) == value for image in (change.before, change.after) if image)
    ]
    return found + [
        (key, UUID(image["id"]))
        for key, _, images in batched_images(session, kind)
        for image in images
        if image.get(column) == value
    ]


def every_image(session: Session) -> Iterator[tuple[UUID, str, Image, Image]]:
    """Each image that the record of acts keeps: the act, the kind of record, and what it was before and after."""
    acts = {row[0]: row[1] for row in session.execute(select(ChangeBatch.id, ChangeBatch.act_id))}
    for key, kind, images in batched_images(session):
        yield from ((acts[key], kind, image, {}) for image in images)
    for change in session.scalars(select(Change).order_by(Change.id)):
        before, after = (json.loads(image) if image else {} for image in (change.before, change.after))
        yield change.act_id, change.record_kind, before, after


def batched_images(
    session: Session, kind: str | None = None
) -> Iterator[tuple[UUID, str, list[dict[str, Any]]]]:
    """The entries that keep images of many records, of all kinds or one: the key of each, the kind, and the images."""
    query = (
        select(ChangeBatch.id, ChangeBatch.record_kind, ChangeBatch.images)
        .where(ChangeBatch.images.is_not(None))
        .order_by(ChangeBatch.id)
    )
    if kind is not None:
        query = query.where(ChangeBatch.record_kind == kind)
    for key, of_kind, packed in session.execute(query).all():
        names, rows = unpacked_images(packed or b"")
        yield key, of_kind, [dict(zip(names, row, strict=True)) for row in rows]
