"""Who is named in a part of the log: whoever tells that part tells their records too.

The laptop that merges it may know that one of them was made nameless, and not how they were called. It can only take
out a name if it is told whose it is.
"""

import json
import re
from collections.abc import Iterable, Iterator

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.exchange.bundles.entries import ActEntry, ChangeEntry, Entry
from obslog.grammar.name_choice import fitting_names
from obslog.records.history.batches import unpacked_images
from obslog.records.history.images import Image
from obslog.records.redaction.words import Words
from obslog.records.tables.logbook import Change, ChangeBatch
from obslog.records.tables.logbook_tables import Member

MEMBER = Member.__name__
_OF_NUMBERS = re.compile(r"[-0-9a-f]{36}|\d{4}-\d\d-\d\d(T[0-9:.]+Z)?")


def people_named(session: Session, entries: Iterable[Entry]) -> set[str]:
    """The keys of the members, also of former ones, of whom a name stands in what is told."""
    texts: set[str] = set()
    authors: set[str] = set()
    for entry in entries:
        texts |= _texts(entry)
        if isinstance(entry, ActEntry) and entry.who:
            authors.add(entry.who)
    if not texts and not authors:
        return set()
    names = _names_on_record(session)
    everybody = sorted(set().union(*names.values()))
    typed = {name for who in authors for name in fitting_names(who, everybody)}
    told = "\n".join(sorted(texts))
    return {
        key
        for key, several in names.items()
        if typed & several or Words(dict.fromkeys(several, "")).stand_in(told)
    }


def _names_on_record(session: Session) -> dict[str, set[str]]:
    """Of each member every name that they have or had by the log."""
    names: dict[str, set[str]] = {}
    for image in _images_of_members(session):
        if image.get("name"):
            names.setdefault(image["id"], set()).add(image["name"])
    return names


def _images_of_members(session: Session) -> Iterator[Image]:
    for key, name in session.execute(select(Member.id, Member.name)):
        yield {"id": str(key), "name": name}
    changes = select(Change.before, Change.after).where(Change.record_kind == MEMBER)
    for images in session.execute(changes):
        yield from (json.loads(image) for image in images if image)
    batches = select(ChangeBatch.images).where(
        ChangeBatch.record_kind == MEMBER, ChangeBatch.images.is_not(None)
    )
    for packed in session.scalars(batches):
        columns, rows = unpacked_images(packed or b"")
        yield from (dict(zip(columns, row, strict=True)) for row in rows)


def _texts(entry: Entry) -> set[str]:
    """The texts of an entry, without keys, days and instants, of which there are many."""
    if isinstance(entry, ActEntry):
        return {entry.sentence}
    values: set[object] = set()
    if isinstance(entry, ChangeEntry):
        values.update(*(image.values() for image in (entry.before, entry.after) if image))
    else:
        values.update(*entry.rows)
    return {value for value in values if isinstance(value, str) and not _OF_NUMBERS.fullmatch(value)}
