"""The record of acts rewritten without a person: their words in sentences and images, and whole changes of theirs."""

import json
from collections.abc import Callable, Collection, Sequence
from functools import partial
from typing import Any
from uuid import UUID

from sqlalchemy import delete, exists, select, update
from sqlalchemy.orm import Session, aliased

from obslog.records.history.batches import packed_images
from obslog.records.history.images import Image
from obslog.records.nameless import made_nameless
from obslog.records.redaction.log_search import batched_images
from obslog.records.redaction.words import Words
from obslog.records.redaction.written_texts import with_texts
from obslog.records.tables.kept import parked_records
from obslog.records.tables.logbook import LONGEST_SENTENCE, Act, Change, ChangeBatch

_BATCH = 2000


def drop_changes(session: Session, keys: Sequence[UUID]) -> None:
    """Take changes out of the record of acts, and acts of which nothing is left with them."""
    acts = session.scalars(select(Change.act_id).where(Change.id.in_(keys)).distinct()).all()
    session.execute(delete(Change).where(Change.id.in_(keys)))
    other = aliased(Act)
    session.execute(
        delete(Act).where(
            Act.id.in_(acts),
            ~exists().where(Change.act_id == Act.id),
            ~exists().where(ChangeBatch.act_id == Act.id),
            ~exists().where(other.undoes_id == Act.id, other.id.not_in(acts)),
        )
    )


def redact_acts(session: Session, words: Words) -> int:
    """Put the words' replacements into every sentence, into who wrote it, and into every image of a record.

    What things and other members are called, or were, stays in the images, whether or not they are called so still: a
    laptop that hears of the leaving only after a renaming has to say the same. A sentence loses it.
    Gives how many rows held the words.
    """
    return (
        _redact_sentences(session, words)
        + _redact_changes(session, words)
        + _redact_parked(session, words)
        + _rewrite_batches(session, lambda kind, image: with_texts(kind, image, words.replaced))
    )


def _redact_sentences(session: Session, words: Words) -> int:
    changed = 0
    for key, sentence, who in _rows(session, Act, Act.sentence, Act.who):
        new = {"sentence": sentence_without(words, sentence), "who": words.replaced(who) if who else None}
        if new != {"sentence": sentence, "who": who}:
            session.execute(update(Act).where(Act.id == key).values(**new))
            changed += 1
    return changed


def _redact_changes(session: Session, words: Words) -> int:
    changed = 0
    for key, kind, before, after in _rows(session, Change, Change.record_kind, Change.before, Change.after):
        without = partial(with_texts, kind, replaced=words.replaced)
        images = {name: _rewritten(image, without) for name, image in (("before", before), ("after", after))}
        if images != {"before": before, "after": after}:
            session.execute(update(Change).where(Change.id == key).values(**images))
            changed += 1
    return changed


def sentence_without(words: Words, sentence: str) -> str:
    """The sentence of an act with the words' replacements, no longer than one may be."""
    return words.replaced(sentence)[:LONGEST_SENTENCE]


def _redact_parked(session: Session, words: Words) -> int:
    """The same for records that have no place in their own table."""
    changed = 0
    columns = parked_records.c
    for kind, key, image in session.execute(
        select(columns.record_kind, columns.record_id, columns.image)
    ).all():
        new = _rewritten(image, partial(with_texts, kind, replaced=words.replaced))
        if new != image:
            this = (columns.record_kind == kind, columns.record_id == key)
            session.execute(update(parked_records).where(*this).values(image=new))
            changed += 1
    return changed


def clear_in_images(session: Session, record_id: UUID, columns: Sequence[str]) -> None:
    """Empty columns of a record in all images that the record of acts keeps of it."""
    rewrite_images(session, record_id, lambda image: {**image, **dict.fromkeys(set(columns) & image.keys())})


def rewrite_images(session: Session, record_id: UUID, rewritten: Callable[[Image], Image]) -> None:
    """Put other images of a record in the place of all that the record of acts keeps of it.

    What an act says that made a member nameless stays: it keeps only the key of what was there before.
    """

    def anew(image: Image) -> Image:
        return rewritten(image) if image["id"] == str(record_id) else image

    query = select(Change.id, Change.before, Change.after).where(Change.record_id == record_id)
    for key, *images in session.execute(query).all():
        if images[0] and made_nameless(json.loads(images[0])):
            continue
        before, after = (json.dumps(anew(json.loads(image))) if image else None for image in images)
        session.execute(update(Change).where(Change.id == key).values(before=before, after=after))
    _rewrite_batches(session, lambda _kind, image: anew(image))


def empty_in_batches(session: Session, keys: Collection[UUID]) -> None:
    """Of these records leave nothing but their keys among many that were removed in one act."""
    gone = {str(key) for key in keys}
    _rewrite_batches(
        session,
        lambda _kind, image: {**dict.fromkeys(image), "id": image["id"]} if image["id"] in gone else image,
    )


def redact_authors(session: Session, theirs: Callable[[str], bool], neutral: str) -> int:
    """Put the neutral name where a person is told to have written an act, also by the beginning of their name."""
    found = session.scalars(select(Act.who).where(Act.who.is_not(None)).distinct()).all()
    changed = 0
    for who in found:
        if who and theirs(who):
            session.execute(update(Act).where(Act.who == who).values(who=neutral))
            changed += 1
    return changed


def _rewrite_batches(session: Session, rewritten: Callable[[str, Image], Image]) -> int:
    """Put other images in the place of those that many records are kept by; gives how many entries changed."""
    changed = 0
    for key, kind, images in batched_images(session):
        new = [dict(rewritten(kind, image)) for image in images]
        if new != images:
            names = list(images[0])
            packed = packed_images(names, [[image[name] for name in names] for image in new])
            session.execute(update(ChangeBatch).where(ChangeBatch.id == key).values(images=packed))
            changed += 1
    return changed


def _rows(session: Session, table: type[Act] | type[Change], *columns: Any) -> list[tuple[Any, ...]]:
    return [
        tuple(row) for row in session.execute(select(table.id, *columns).execution_options(yield_per=_BATCH))
    ]


def _rewritten(image: str | None, without: Callable[[Image], Image]) -> str | None:
    """The image rewritten; the very same text where nothing changes."""
    if image is None:
        return None
    values = json.loads(image)
    new = without(values)
    return image if new == values else json.dumps(new)
