"""Forgetting a person: words taken out of the record of acts, found in texts, wiped from the file's unused pages."""

import json
import re
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from functools import cache, partial
from typing import Any
from uuid import UUID

from sqlalchemy import Column, Engine, Table, Text, delete, exists, select, update
from sqlalchemy.orm import Session, aliased

from obslog.fields import TextField
from obslog.records.history.acts import that_hold
from obslog.records.history.batches import packed_images, unpacked_images
from obslog.records.history.images import Image
from obslog.records.nameless import NAMES, made_nameless
from obslog.records.tables.base import HOLDS, Base, name_key
from obslog.records.tables.kept import parked_records
from obslog.records.tables.logbook import Act, Change, ChangeBatch
from obslog.records.tables.schema import metadata
from obslog.records.tables.search_text import search_form

_NOT_TEXTS = {
    "acts",
    "changes",
    "change_batches",
    "same_records",
    "parked_records",
    "record_obstacles",
    "told_acts",
    "contacts",
    "club_rules",
    "mount_changes",
    "kept_results",
}
_DERIVED = {"name_key", "search_text", "sha256", "text_sha256", "kind"}
_KNOWN_BY = {"zone", "horizon", "status", "word", "word_out", "word_in"}
"""Columns by which something is known, or that a program reads: nobody is spoken of in them."""
_BATCH = 2000
LONGEST_SENTENCE = 1000


@dataclass(frozen=True, slots=True)
class FoundText:
    """A text in which words were found: its table, key and column."""

    table: str
    key: UUID
    column: str
    text: str


class Words:
    """Words to be found as whole words, whatever their case and spacing, each with what takes its place."""

    def __init__(self, replacements: Mapping[str, str]) -> None:
        self.texts = tuple(replacements)
        self.replacements = dict(replacements)
        self._patterns = [
            (re.compile(rf"(?<!\w){_spaced(form)}(?!\w)", re.IGNORECASE), put)
            for word, put in sorted(replacements.items(), key=lambda pair: -len(pair[0]))
            for form in dict.fromkeys((word, name_key(word), search_form(word)))
            if form
        ]

    def stand_in(self, text: str) -> bool:
        return any(pattern.search(text) for pattern, _ in self._patterns)

    def replaced(self, text: str) -> str:
        for pattern, put in self._patterns:
            text = pattern.sub(lambda _found, put=put: put, text)  # type: ignore[misc]
        return text


def _spaced(form: str) -> str:
    return r"\s+".join(re.escape(part) for part in form.split())


def earlier_values(session: Session, record_id: UUID, column: str) -> set[str]:
    """All that a column of a record ever held by the record of acts."""
    query = select(Change.before, Change.after).where(Change.record_id == record_id)
    images = [json.loads(image) for row in session.execute(query) for image in row if image]
    images += [image for _, _, found in _batched(session) for image in found if image["id"] == str(record_id)]
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
        for key, batch_kind, images in _batched(session)
        for image in images
        if batch_kind == kind and image.get(column) == value
    ]


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

    def without(kind: str, image: Image) -> Image:
        return with_texts(kind, image, words.replaced)

    changed = 0
    for key, sentence, who in _batches(session, Act, Act.sentence, Act.who):
        new = {"sentence": sentence_without(words, sentence), "who": words.replaced(who) if who else None}
        if new != {"sentence": sentence, "who": who}:
            session.execute(update(Act).where(Act.id == key).values(**new))
            changed += 1
    for key, kind, before, after in _batches(
        session, Change, Change.record_kind, Change.before, Change.after
    ):
        of_kind = partial(without, kind)
        images = {name: _image(image, of_kind) for name, image in (("before", before), ("after", after))}
        if images != {"before": before, "after": after}:
            session.execute(update(Change).where(Change.id == key).values(**images))
            changed += 1
    return changed + _redact_parked(session, words) + _rewrite_batches(session, without)


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
        new = _image(image, lambda one, kind=kind: with_texts(kind, one, words.replaced))  # type: ignore[misc]
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


def every_image(session: Session) -> Iterator[tuple[UUID, str, Image, Image]]:
    """Each image that the record of acts keeps: the act, the kind of record, and what it was before and after."""
    acts = {row[0]: row[1] for row in session.execute(select(ChangeBatch.id, ChangeBatch.act_id))}
    for key, kind, images in _batched(session):
        yield from ((acts[key], kind, image, {}) for image in images)
    for change in session.scalars(select(Change).order_by(Change.id)):
        before, after = (json.loads(image) if image else {} for image in (change.before, change.after))
        yield change.act_id, change.record_kind, before, after


def redact_authors(session: Session, theirs: Callable[[str], bool], neutral: str) -> int:
    """Put the neutral name where a person is told to have written an act, also by the beginning of their name."""
    found = session.scalars(select(Act.who).where(Act.who.is_not(None)).distinct()).all()
    changed = 0
    for who in found:
        if who and theirs(who):
            session.execute(update(Act).where(Act.who == who).values(who=neutral))
            changed += 1
    return changed


def _batched(session: Session) -> Iterator[tuple[UUID, str, list[dict[str, Any]]]]:
    """The entries that keep images of many records: the key of each, the kind, and the images."""
    query = (
        select(ChangeBatch.id, ChangeBatch.record_kind, ChangeBatch.images)
        .where(ChangeBatch.images.is_not(None))
        .order_by(ChangeBatch.id)
    )
    for key, kind, packed in session.execute(query).all():
        names, rows = unpacked_images(packed or b"")
        yield key, kind, [dict(zip(names, row, strict=True)) for row in rows]


def _rewrite_batches(session: Session, rewritten: Callable[[str, Image], Image]) -> int:
    """Put other images in the place of those that many records are kept by; gives how many entries changed."""
    changed = 0
    for key, kind, images in _batched(session):
        new = [dict(rewritten(kind, image)) for image in images]
        if new != images:
            names = list(images[0])
            packed = packed_images(names, [[image[name] for name in names] for image in new])
            session.execute(update(ChangeBatch).where(ChangeBatch.id == key).values(images=packed))
            changed += 1
    return changed


def texts_with(session: Session, words: Words) -> Iterator[FoundText]:
    """Every text that people wrote, outside the record of acts and the contacts, in which the words stand."""
    for table in metadata.sorted_tables:
        columns = [column for column in table.columns if _is_text(column)]
        if table.name in _NOT_TEXTS or not columns:
            continue
        for key, *texts in session.execute(select(table.c.id, *columns).order_by(table.c.id)):
            for column, text in zip(columns, texts, strict=True):
                if text and words.stand_in(text):
                    yield FoundText(table.name, key, column.name, text)


def with_texts(kind: str, image: Mapping[str, Any], replaced: Callable[[str], str]) -> dict[str, Any]:
    """The image of a record of that kind with its texts replaced, but what it is called.

    Of a kind that only a newer program knows every text is.
    """
    columns = _written_in(kind)
    return {
        name: replaced(value)[: columns[name] if columns else None]
        if isinstance(value, str) and name not in NAMES and (columns is None or name in columns)
        else value
        for name, value in image.items()
    }


@cache
def _written_in(kind: str) -> Mapping[str, int | None] | None:
    """The columns of a kind of record in which people write, with the longest text of each.

    None of a kind that is not known.
    """
    found = next((one for one in Base.registry.mappers if one.class_.__name__ == kind), None)
    if found is None:
        return None
    return {
        column.name: _longest(table, column.name)
        for table in metadata.sorted_tables
        if table in found.tables and table.name not in _NOT_TEXTS
        for column in table.columns
        if _is_text(column)
    }


def _longest(table: Table, column: str) -> int | None:
    """How long a text may be: what takes the place of a short name is longer than it."""
    told = [rule.info[HOLDS] for rule in table.constraints if HOLDS in rule.info]
    return next(
        (field.longest for name, field in told if name == column and isinstance(field, TextField)), None
    )


def replace_texts(session: Session, found: Sequence[FoundText], words: Words) -> None:
    """Put the words' replacements into texts; what is searched by follows."""
    classes = {mapper.local_table: mapper.class_ for mapper in Base.registry.mappers}
    for text in found:
        table = metadata.tables[text.table]
        record: Any = session.get_one(classes[table], text.key)
        longest = _longest(table, text.column)
        setattr(record, text.column, words.replaced(getattr(record, text.column))[:longest])
    session.flush()


def wipe_deleted(engine: Engine) -> None:
    """Write a SQLite file anew, so that nothing deleted is left in its unused pages or in the log beside it."""
    if engine.dialect.name != "sqlite":
        return
    with closing(engine.raw_connection()) as connection:
        cursor = connection.cursor()
        for statement in ("VACUUM", "PRAGMA wal_checkpoint(TRUNCATE)"):
            cursor.execute(statement)
            cursor.fetchall()
        cursor.close()


def _is_text(column: Column[Any]) -> bool:
    return isinstance(column.type, Text) and column.name not in _DERIVED | _KNOWN_BY


def _batches(session: Session, table: type[Act] | type[Change], *columns: Any) -> list[tuple[Any, ...]]:
    return [
        tuple(row) for row in session.execute(select(table.id, *columns).execution_options(yield_per=_BATCH))
    ]


def _image(image: str | None, rewritten: Callable[[Image], Image]) -> str | None:
    """The image rewritten; the very same text where nothing changes."""
    if image is None:
        return None
    values = json.loads(image)
    new = rewritten(values)
    return image if new == values else json.dumps(new)
