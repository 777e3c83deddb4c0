"""Taking the steps of an act back: what it added goes, what it removed comes back, what it changed is as before.

Of a record that was changed only the fields that the act wrote go back; what has been changed since is refused.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import assert_never

from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from obslog.errors import ObslogError
from obslog.records.history.images import Image
from obslog.records.history.notes import FEW, Notes
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
from obslog.records.tables.logbook import Act, SameRecord
from obslog.records.undoing.as_said import as_said, as_written, joined_among, may_stand_otherwise, told_apart
from obslog.records.undoing.dependents import (
    Later,
    joined_to_another,
    later_act,
    who_holds,
    who_refers,
)
from obslog.records.undoing.undo_errors import ContradictsItself

_HAVE_OTHERS_STAND = frozenset({MEMBER, SameRecord.__name__})
"""Kinds of which a row that comes or goes may change how others stand: who has left comes back as one who has, and of
two joinings the other way round only one counts."""
_TAKEN = "something on record has taken its place since"
_GONE = "what it belongs to has been removed since"
_JOINED = "it would bring back a record that was made one with another since"

Refuse = Callable[[str, Later | None], ObslogError]


@dataclass(frozen=True, slots=True, kw_only=True)
class _TakingBack:
    """The act that is taken back, and what that changes; `joined` are records that were made one with others."""

    session: Session
    act: Act
    refuse: Refuse
    joined: set[str]
    notes: Notes = field(default_factory=Notes)

    def settle(self) -> None:
        """Let how the records stand be settled before the transaction ends."""
        self.session.info[TO_SETTLE] = True


def take_back(session: Session, act: Act, steps: list[Step], refuse: Refuse) -> Notes:
    """Take the steps back, the last first; gives what that changed. Raises what `refuse` gives."""
    later = later_act(session, act, steps)
    if later is not None:
        raise refuse("something newer depends on it", later)
    joined = joined_to_another(session, steps)
    if joined is not None:
        raise refuse(_JOINED, joined)
    removed = [key for step in steps if isinstance(step, Removed) for key in step.keys]
    back = _TakingBack(session=session, act=act, refuse=refuse, joined=joined_among(session, removed))
    try:
        for step in reversed(steps):
            match step:
                case Added():
                    _remove(back, step)
                case Removed():
                    _put_back(back, step)
                case Edited():
                    _change_back(back, step)
                case _:
                    assert_never(step)
    except IntegrityError as error:
        if _of_a_check(error):
            raise ContradictsItself(act.sentence) from error
        raise refuse("something on record stands in its way", None) from error
    return back.notes


def _of_a_check(error: IntegrityError) -> bool:
    """Source: PostgreSQL's manual, appendix A (23514, check violation); SQLite's "Result and Error Codes"."""
    name = getattr(error.orig, "sqlite_errorname", None)
    return name == "SQLITE_CONSTRAINT_CHECK" or getattr(error.orig, "sqlstate", None) == "23514"


def _remove(back: _TakingBack, step: Added) -> None:
    hanging = who_refers(back.session, step.kind, step.keys)
    if hanging is not None:
        raise back.refuse("something newer depends on it", hanging.later)
    if step.kind.name in _HAVE_OTHERS_STAND:
        back.settle()
    names, rows = rows_as_stored(back.session, step.kind, step.keys)
    remove_rows(back.session, step.kind, [row[names.index("id")] for row in rows])
    if len(rows) > FEW:
        back.notes.removed(step.kind.name, names, rows)
        return
    for key, parked in parked_among(back.session, step.keys).items():
        back.notes.changed(step.kind.name, key, parked, None)
    for row in rows:
        image = dict(zip(names, row, strict=True))
        back.notes.changed(step.kind.name, image["id"], image, None)


def _put_back(back: _TakingBack, step: Removed) -> None:
    images = list(_not_standing(back, step))
    if not images:
        return
    names = list(images[0])
    if _never_stood(back, step, images):
        back.settle()
        apart = [told_apart(image) for image in images]
        if any(who_holds(back.session, step.kind, image) for image in apart):
            for image in images:
                back.notes.changed(step.kind.name, image["id"], None, image)
            return
        put_rows(back.session, step.kind, names, [tuple(image.values()) for image in apart])
    else:
        put_rows(back.session, step.kind, names, [tuple(image.values()) for image in images])
    if step.kind.name in _HAVE_OTHERS_STAND:
        back.settle()
    was = {image["id"]: image for image in images}
    if len(was) > FEW:
        back.notes.added(step.kind.name, list(was))
        return
    for key, image in images_now(back.session, step.kind, list(was)).items():
        written = as_written(back.session, back.act, step.kind.name, image, was[key])
        if written != image:  # it stands told apart from another, and people are asked about it again
            back.settle()
        back.notes.changed(step.kind.name, key, None, written)


def _not_standing(back: _TakingBack, step: Removed) -> Iterator[Image]:
    """The removed records, one that was made one with another as all have written it since.

    One that stands already, for others were joined to it too, is noted only; raises where it stands for another reason.
    """
    there = images_now(back.session, step.kind, step.keys)
    if there.keys() - back.joined:
        raise back.refuse("the record is there already", None)
    for row in step.rows:
        image = dict(zip(step.names, row, strict=True))
        key = image["id"]
        if key in back.joined:
            written = as_said(back.session, step.kind.name, key, [str(back.act.id)])
            image |= {name: written[name] for name in image.keys() & written.keys()}
        if key in there:
            back.settle()
            back.notes.changed(step.kind.name, key, None, image)
        else:
            yield image


def _never_stood(back: _TakingBack, step: Removed, images: Sequence[Image]) -> bool:
    """Whether what is in the way of these records was there before they were removed: then they had no place either.

    Raises what `refuse` gives where somebody came to their place since.
    """
    if len(step.rows) > FEW:
        return False
    held = [one for image in images for one in who_holds(back.session, step.kind, image)]
    for one in held:
        if back.act.undoes_id is not None or one.later is None or one.later.act_id > back.act.id:
            raise back.refuse(_GONE if one.gone else _TAKEN, one.later)
    return bool(held)


def _change_back(back: _TakingBack, step: Edited) -> None:
    now = images_now(back.session, step.kind, [step.key]).get(step.key)
    if now is None:
        _change_without_row(back, step)
        return
    otherwise = [name for name in step.fields if now[name] != step.after[name]]
    if otherwise:
        said: Image = now
        if may_stand_otherwise(back.session, step.key):
            said = as_said(back.session, step.kind.name, step.key)
        _refuse_if_changed(back, step, otherwise, said)
        back.settle()
    was = now | {name: step.before[name] for name in step.fields}
    back.notes.changed(step.kind.name, step.key, now | {name: step.after[name] for name in step.fields}, was)
    row = was | {name: now[name] for name in otherwise}
    for one in who_holds(back.session, step.kind, row)[:1]:
        raise back.refuse(_GONE if one.gone else _TAKEN, one.later)
    change_row(back.session, step.kind, row, [name for name in step.fields if name not in otherwise])


def _change_without_row(back: _TakingBack, step: Edited) -> None:
    """Note what a record is again that is parked, or that somebody else made one with another."""
    image: Image | None = parked_among(back.session, [step.key]).get(step.key)
    if image is None and joined_among(back.session, [step.key]):
        image = as_said(back.session, step.kind.name, step.key)
        _refuse_if_changed(back, step, step.fields, image)
    if image is None:
        raise back.refuse("the record is gone", None)
    was = {**image, **{name: step.before[name] for name in step.fields}}
    back.notes.changed(step.kind.name, step.key, image, was)


def _refuse_if_changed(back: _TakingBack, step: Edited, fields: Sequence[str], now: Image) -> None:
    """A row may stand otherwise than it was written, since others were joined: that is no change."""
    since = [name for name in fields if now.get(name) != step.after[name]]
    if since:
        raise back.refuse(
            f"its {since[0].removesuffix('_id').replace('_', ' ')} has been changed since", None
        )
