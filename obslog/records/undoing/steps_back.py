"""Taking the steps of an act back: what it added goes, what it removed comes back, what it changed is as before.

Of a record that was changed only the fields that the act wrote go back; what has been changed since is refused.
"""

from collections.abc import Callable, Sequence
from typing import assert_never

from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from obslog.errors import ObslogError
from obslog.records.history.images import Image
from obslog.records.history.notes import FEW, Notes
from obslog.records.history.reading import said_before
from obslog.records.history.recorder import TO_SETTLE
from obslog.records.history.rows import (
    change_row,
    images_now,
    parked_among,
    put_rows,
    remove_rows,
    rows_as_stored,
)
from obslog.records.history.steps import Added, Edited, Removed, Step
from obslog.records.nameless import MEMBER
from obslog.records.tables.base import name_key
from obslog.records.tables.column_types import key_of
from obslog.records.tables.logbook import Act, SameRecord
from obslog.records.undoing.dependents import Later, joined_to_another, later_act, who_holds, who_refers
from obslog.records.undoing.undo_errors import ContradictsItself

LONGEST_OF_APART = 80
TOLD_APART = frozenset({"name", "name_key", "tag"})
"""Columns in which a row may differ from what was written, since another row says that."""
_HAVE_OTHERS_STAND = frozenset({MEMBER, SameRecord.__name__})
"""Kinds of which a row that comes or goes may change how others stand: who has left comes back as one who has, and of
two joinings the other way round only one counts."""
_TAKEN = "something on record has taken its place since"
_GONE = "what it belongs to has been removed since"
_JOINED = "it would bring back a record that was made one with another since"

Refuse = Callable[[str, Later | None], ObslogError]


def take_back(session: Session, act: Act, steps: list[Step], refuse: Refuse) -> Notes:
    """Take the steps back, the last first; gives what that changed. Raises what `refuse` gives."""
    later = later_act(session, act, steps)
    if later is not None:
        raise refuse("something newer depends on it", later)
    joined = joined_to_another(session, steps)
    if joined is not None:
        raise refuse(_JOINED, joined)
    notes = Notes()
    try:
        for step in reversed(steps):
            match step:
                case Added():
                    _remove(session, step, notes, refuse)
                case Removed():
                    _put_back(session, act, step, notes, refuse)
                case Edited():
                    _change_back(session, step, notes, refuse)
                case _:
                    assert_never(step)
    except IntegrityError as error:
        if _of_a_check(error):
            raise ContradictsItself(act.sentence) from error
        raise refuse("something on record stands in its way", None) from error
    return notes


def _of_a_check(error: IntegrityError) -> bool:
    """Source: PostgreSQL's manual, appendix A (23514, check violation); SQLite's "Result and Error Codes"."""
    name = getattr(error.orig, "sqlite_errorname", None)
    return name == "SQLITE_CONSTRAINT_CHECK" or getattr(error.orig, "sqlstate", None) == "23514"


def _remove(session: Session, step: Added, notes: Notes, refuse: Refuse) -> None:
    hanging = who_refers(session, step.kind, step.keys)
    if hanging is not None:
        raise refuse("something newer depends on it", hanging.later)
    if step.kind.name in _HAVE_OTHERS_STAND:
        session.info[TO_SETTLE] = True
    names, rows = rows_as_stored(session, step.kind, step.keys)
    remove_rows(session, step.kind, [row[names.index("id")] for row in rows])
    if len(rows) > FEW:
        notes.removed(step.kind.name, names, rows)
        return
    for key, parked in parked_among(session, step.keys).items():
        notes.changed(step.kind.name, key, parked, None)
    for row in rows:
        image = dict(zip(names, row, strict=True))
        notes.changed(step.kind.name, image["id"], image, None)


def _put_back(session: Session, act: Act, step: Removed, notes: Notes, refuse: Refuse) -> None:
    if images_now(session, step.kind, step.keys):
        raise refuse("the record is there already", None)
    images = [dict(zip(step.names, row, strict=True)) for row in step.rows]
    if _never_stood(session, act, step, images, refuse):
        session.info[TO_SETTLE] = True
        apart = [_told_apart(image) for image in images]
        if any(who_holds(session, step.kind, image) for image in apart):
            for image in images:
                notes.changed(step.kind.name, image["id"], None, image)
            return
        put_rows(session, step.kind, step.names, [tuple(image.values()) for image in apart])
    else:
        put_rows(session, step.kind, step.names, step.rows)
    if step.kind.name in _HAVE_OTHERS_STAND:
        session.info[TO_SETTLE] = True
    if len(step.rows) > FEW:
        notes.added(step.kind.name, step.keys)
        return
    was = {image["id"]: image for image in images}
    for key, image in images_now(session, step.kind, step.keys).items():
        written = _as_written(session, act, step.kind.name, image, was[key])
        if written != image:  # it stands told apart from another, and people are asked about it again
            session.info[TO_SETTLE] = True
        notes.changed(step.kind.name, key, None, written)


def _told_apart(image: Image) -> Image:
    """The image with a name that nothing else has, and no tag: so it stands until it is settled."""
    apart = dict(image)
    if isinstance(name := image.get("name"), str) and "name_key" in image:
        apart["name"] = f"{name[:LONGEST_OF_APART]} ({image['id']})"
        apart["name_key"] = name_key(apart["name"])
    if "tag" in image:
        apart["tag"] = None
    return apart


def _as_written(session: Session, act: Act, kind: str, image: Image, was: Image) -> Image:
    """The image with the name and tag that people wrote, where its row was told apart by others, and is again."""
    names = TOLD_APART & image.keys() & was.keys()
    if not names:
        return image
    said = said_before(session, kind, key_of(image["id"]), act.id)
    return {**image, **{name: said.get(name, was[name]) for name in names}}


def _never_stood(session: Session, act: Act, step: Removed, images: Sequence[Image], refuse: Refuse) -> bool:
    """Whether what is in the way of these records was there before they were removed: then they had no place either.

    Raises what `refuse` gives where somebody came to their place since.
    """
    if len(step.rows) > FEW:
        return False
    held = [one for image in images for one in who_holds(session, step.kind, image)]
    for one in held:
        if act.undoes_id is not None or one.later is None or one.later.act_id > act.id:
            raise refuse(_GONE if one.gone else _TAKEN, one.later)
    return bool(held)


def _change_back(session: Session, step: Edited, notes: Notes, refuse: Refuse) -> None:
    now = images_now(session, step.kind, [step.key]).get(step.key)
    parked = parked_among(session, [step.key]).get(step.key) if now is None else None
    if parked is not None:
        notes.changed(
            step.kind.name, step.key, parked, parked | {name: step.before[name] for name in step.fields}
        )
        return
    if now is None:
        raise refuse("the record is gone", None)
    since = [name for name in step.fields if now[name] != step.after[name]]
    if since:
        raise refuse(f"its {since[0].removesuffix('_id').replace('_', ' ')} has been changed since", None)
    was = now | {name: step.before[name] for name in step.fields}
    for one in who_holds(session, step.kind, was)[:1]:
        raise refuse(_GONE if one.gone else _TAKEN, one.later)
    change_row(session, step.kind, was, step.fields)
    notes.changed(step.kind.name, step.key, now, was)
