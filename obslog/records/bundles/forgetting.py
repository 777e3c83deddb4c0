"""Members who were made nameless, here or on another laptop: what bundles still tell of them is taken out.

In every image of theirs but that of the act that made them nameless stands a name that is made of their key, and in
texts no more than that it was a former member: so all laptops come to say the same of them, in whatever order they hear
of it, also where two of them made one member nameless, or a third joined two spellings of their name. What another is
called stays as it is, in the log and in the rows.
"""

import json
from collections.abc import Callable, Collection, Iterable, Mapping
from typing import Any

from sqlalchemy import Text, cast, select
from sqlalchemy.orm import Session

from obslog.records.bundles.told import Told
from obslog.records.merging.obstacles import parked_images
from obslog.records.nameless import MEMBER, NEUTRAL, has_left, made_nameless
from obslog.records.redaction.log_rewriting import sentence_without
from obslog.records.redaction.words import Words
from obslog.records.redaction.written_texts import with_texts
from obslog.records.tables.base import name_key
from obslog.records.tables.column_types import key_of
from obslog.records.tables.keys import reference_of
from obslog.records.tables.lending import Loan
from obslog.records.tables.logbook import Change, SameRecord

Image = Mapping[str, Any]
CALL, JOINED = "Call", SameRecord.__name__
OWN = ("name", "name_key", "note", "retired_on", "retired_why")
"""What a nameless member's record says, whatever was written into it by who had not heard of it."""


def neutral_name(key: str) -> str:
    """The name that a nameless member's own record has: nobody else's, and the same on each laptop."""
    return f"{NEUTRAL} {reference_of(key_of(key))}"


def forgotten_here(session: Session) -> set[str]:
    """The keys of the members that are nameless by the log on this laptop."""
    query = select(cast(Change.record_id, Text), Change.before).where(
        Change.record_kind == MEMBER, Change.after.is_not(None), Change.before.like('{"id": "%"}')
    )
    return {key for key, before in session.execute(query) if made_nameless(json.loads(before or "null"))}


def forgotten_by(told: Told) -> dict[str, str]:
    """The members whom an act that is told makes nameless, each with the name that it gives them."""
    return {
        change.record_id: str(change.after.get("name"))
        for change in sorted(told.changes.values(), key=lambda one: one.act_id)
        if change.record_kind == MEMBER and change.after is not None and made_nameless(change.before)
    }


def with_selves(session: Session, told: Told, forgotten: Collection[str]) -> set[str]:
    """The same with the members that were joined to them, where that was not taken back."""
    rows = select(cast(SameRecord.id, Text), cast(SameRecord.gone_id, Text), cast(SameRecord.kept_id, Text))
    joins = {key: (gone, kept) for key, gone, kept in session.execute(rows)}
    for image in _images_told(told, JOINED):
        joins.setdefault(str(image.get("id")), (str(image.get("gone_id")), str(image.get("kept_id"))))
    taken_back = _taken_back(session, told)
    pairs = [pair for key, pair in joins.items() if key not in taken_back]
    found = set(forgotten)
    while more := {gone for gone, kept in pairs if kept in found} - found:
        found |= more
    return found


def _taken_back(session: Session, told: Told) -> set[str]:
    """The joinings that were taken back, here or by what is told, and were not made again since."""
    here = select(cast(Change.act_id, Text), cast(Change.record_id, Text), Change.after.is_not(None))
    entries = [(*row,) for row in session.execute(here.where(Change.record_kind == JOINED))]
    entries += [
        (one.act_id, one.record_id, one.after is not None)
        for one in told.changes.values()
        if one.record_kind == JOINED
    ]
    stands = {key: is_there for _, key, is_there in sorted(entries)}
    return {key for key, is_there in stands.items() if not is_there}


def names_told(told: Told, forgotten: Collection[str]) -> dict[str, set[str]]:
    """Of each of them the names by which bundles still call them."""
    found: dict[str, set[str]] = {}
    for key, name in told.member_names:
        if key in forgotten and not has_left(name):
            found.setdefault(key, set()).add(name)
    return found


def loans_of(session: Session, told: Told, forgotten: Collection[str]) -> set[str]:
    """The keys of all loans to them that are on record or told: what was said in calls about these is their affair."""
    rows = select(cast(Loan.id, Text), cast(Loan.member_id, Text))
    of_loans: list[tuple[str, Image]] = [
        (key, {"member_id": member}) for key, member in session.execute(rows)
    ]
    of_loans += [(key, image) for kind, key, image in parked_images(session) if kind == Loan.__name__]
    of_loans += [(str(image.get("id")), image) for image in _images_told(told, Loan.__name__)]
    return {key for key, image in of_loans if image.get("member_id") in forgotten}


def take_out(
    told: Told,
    forgotten: Collection[str],
    words: Words,
    typed_by_them: Callable[[str], bool],
    loans: Collection[str] = (),
) -> None:
    """Put the neutral name into all that is told, and take out what was noted of them.

    `typed_by_them` says whether it was one of them who typed under a name; `loans` are those to them.
    """
    _take_out_calls(told, loans)
    names_known = bool(words.texts)  # else only what belongs to them can tell of them
    for act_id, act in list(told.acts.items()) if names_known else ():
        who = act.who and (NEUTRAL if typed_by_them(act.who) else words.replaced(act.who))
        told.acts[act_id] = _with(act, sentence=sentence_without(words, act.sentence), who=who)
    for change_id, change in list(told.changes.items()):
        if not names_known and change.record_kind != MEMBER:
            continue
        if change.record_kind == MEMBER and made_nameless(change.before):
            after = change.after and as_left(change.after, words)
            told.changes[change_id] = _with(change, after=after)
            continue
        before, after = (
            _taken_out(change.record_kind, one, forgotten, words) for one in (change.before, change.after)
        )
        told.changes[change_id] = _with(change, before=before, after=after)
    for batch in told.batches.values():
        if not names_known and batch.kind != MEMBER:
            continue
        rows = [dict(zip(batch.columns, row, strict=True)) for row in batch.rows]
        new = [_taken_out(batch.kind, row, forgotten, words) or {} for row in rows]
        batch.rows = [[row[name] for name in batch.columns] for row in new]


def as_forgotten(image: Image) -> dict[str, Any]:
    """An image of a nameless member, whenever it was written: their neutral name, and nothing else of their own."""
    neutral = neutral_name(image["id"])
    own = dict.fromkeys(OWN) | {"name": neutral, "name_key": name_key(neutral)}
    return {**image, **{name: value for name, value in own.items() if name in image}}


def as_left(image: Image, words: Words) -> dict[str, Any]:
    """What became of a member by the act that made them nameless: their name from then on, since when, and why."""
    left = with_texts(MEMBER, image, words.replaced)
    kept = ["retired_on", "retired_why"]
    name = str(left.get("name"))
    if has_left(name) and not words.stand_in(name):
        kept += ["name", "name_key"]
    return as_forgotten(left) | {name: left[name] for name in kept if name in left}


def _taken_out(
    kind: str, image: Image | None, forgotten: Collection[str], words: Words
) -> dict[str, Any] | None:
    if image is None:
        return None
    if kind == MEMBER and image.get("id") in forgotten:
        return as_forgotten(image)
    return with_texts(kind, image, words.replaced)


def _take_out_calls(told: Told, loans: Collection[str]) -> None:
    def silent(image: Image | None) -> dict[str, Any] | None:
        if image is None:
            return None
        return {**image, "note": None} if image.get("loan_id") in loans and "note" in image else dict(image)

    for key, change in list(told.changes.items()):
        if change.record_kind == CALL:
            told.changes[key] = _with(change, before=silent(change.before), after=silent(change.after))
    for batch in told.batches.values():
        if batch.kind == CALL:
            images = [dict(zip(batch.columns, row, strict=True)) for row in batch.rows]
            batch.rows = [list((silent(image) or {}).values()) for image in images]


def _images_told(told: Told, kind: str) -> Iterable[Image]:
    """What records of that kind were made to be."""
    for change in told.changes.values():
        if change.record_kind == kind and change.after is not None:
            yield change.after
    for batch in told.batches.values():
        if batch.kind == kind and batch.added:
            yield from (dict(zip(batch.columns, row, strict=True)) for row in batch.rows)


def _with(entry: Any, **fields: Any) -> Any:
    from msgspec.structs import replace

    return replace(entry, **fields)
