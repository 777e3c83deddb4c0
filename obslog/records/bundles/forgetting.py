"""Members who were made nameless, here or on another laptop: what bundles still tell of them is taken out.

The act that made a member nameless says so for good: its image of what was there before holds the key and nothing else.
"""

import json
from collections.abc import Callable, Collection, Iterable, Mapping
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.exchange.bundles.entries import ChangeEntry
from obslog.records.bundles.receiving import Told
from obslog.records.redaction import Words
from obslog.records.tables.logbook import Change, SameRecord
from obslog.records.tables.logbook_tables import Member

Image = Mapping[str, Any]
MEMBER, CONTACT, JOINED = Member.__name__, "Contact", SameRecord.__name__
OWN = ("name", "name_key", "note", "retired_on", "retired_why")
"""What a nameless member's record says, whatever was written into it by who had not heard of it."""


def forgotten_here(session: Session) -> dict[str, Image]:
    """The members that are nameless by the log on this laptop, each as they are since."""
    query = select(Change.before, Change.after).where(
        Change.record_kind == MEMBER, Change.after.is_not(None), Change.before.like('{"id": "%"}')
    )
    pairs = (
        (json.loads(before or "null"), json.loads(after or "null"))
        for before, after in session.execute(query.order_by(Change.act_id))
    )
    return {after["id"]: after for before, after in pairs if _forgets(before)}


def forgotten_by(told: Told) -> dict[str, Image]:
    """The members whom an act that is told makes nameless."""
    found: dict[str, Image] = {}
    for change in sorted(told.changes.values(), key=lambda one: one.act_id):
        if change.record_kind == MEMBER and change.after is not None and _forgets(change.before):
            found[change.record_id] = change.after
    return found


def with_selves(session: Session, told: Told, forgotten: Mapping[str, Image]) -> dict[str, Image]:
    """The same with the members that were joined to them before."""
    pairs = {
        (str(gone), str(kept))
        for gone, kept in session.execute(select(SameRecord.gone_id, SameRecord.kept_id))
    }
    for kind, image in _images(told):
        if kind == JOINED:
            pairs.add((str(image.get("gone_id")), str(image.get("kept_id"))))
    found = dict(forgotten)
    while more := {gone: found[kept] for gone, kept in pairs if kept in found and gone not in found}:
        found |= more
    return found


def names_told(told: Told, forgotten: Mapping[str, Image]) -> dict[str, str]:
    """The names by which bundles still call them, each with the neutral one."""
    neutral = {image["name"] for image in forgotten.values()}
    return {
        name: forgotten[key]["name"]
        for key, name in told.member_names
        if key in forgotten and name not in neutral
    }


def take_out(
    told: Told, forgotten: Mapping[str, Image], words: Words, author: Callable[[str], str | None]
) -> None:
    """Put the neutral name into all that is told, and take out how they were reached and what was noted of them.

    `author` gives the neutral name for one under which somebody who is nameless now typed.
    """
    names_known = bool(words.texts)  # else only what belongs to them can tell of them
    for act_id, act in list(told.acts.items()) if names_known else ():
        who = act.who and (author(act.who) or words.replaced(act.who))
        told.acts[act_id] = _with(act, sentence=words.replaced(act.sentence), who=who)
    for change_id, change in list(told.changes.items()):
        if not names_known and change.record_kind not in (MEMBER, CONTACT):
            continue
        if change.record_kind == CONTACT and _is_theirs(change, forgotten):
            del told.changes[change_id]
            continue
        images = (
            _taken_out(change.record_kind, one, forgotten, words) for one in (change.before, change.after)
        )
        before, after = images
        told.changes[change_id] = _with(change, before=before, after=after)
    for batch_id, batch in list(told.batches.items()):
        if not names_known and batch.kind not in (MEMBER, CONTACT):
            continue
        rows = [dict(zip(batch.columns, row, strict=True)) for row in batch.rows]
        if batch.kind == CONTACT:
            stay = [place for place, row in enumerate(rows) if row.get("member_id") not in forgotten]
            rows, batch.ids = [rows[place] for place in stay], [batch.ids[place] for place in stay]
        if not rows:
            del told.batches[batch_id]
            continue
        new = [_taken_out(batch.kind, row, forgotten, words) or {} for row in rows]
        batch.rows = [[row[name] for name in batch.columns] for row in new]


def as_forgotten(image: Image, forgotten: Image) -> dict[str, Any]:
    """An image of a nameless member, whenever it was written."""
    return {**image, **{name: forgotten.get(name) for name in OWN if name in image}}


def _taken_out(
    kind: str, image: Image | None, forgotten: Mapping[str, Image], words: Words
) -> dict[str, Any] | None:
    if image is None:
        return None
    if kind == MEMBER and image.get("id") in forgotten:
        return as_forgotten(image, forgotten[image["id"]])
    return {name: words.replaced(value) if isinstance(value, str) else value for name, value in image.items()}


def _is_theirs(change: ChangeEntry, forgotten: Collection[str]) -> bool:
    return any(image.get("member_id") in forgotten for image in (change.before, change.after) if image)


def _images(told: Told) -> Iterable[tuple[str, Image]]:
    for change in told.changes.values():
        yield from ((change.record_kind, image) for image in (change.before, change.after) if image)
    for batch in told.batches.values():
        if batch.kind == JOINED:
            yield from ((batch.kind, dict(zip(batch.columns, row, strict=True))) for row in batch.rows)


def _forgets(before: Image | None) -> bool:
    return before is not None and before.keys() == {"id"}


def _with(entry: Any, **fields: Any) -> Any:
    from msgspec.structs import replace

    return replace(entry, **fields)
