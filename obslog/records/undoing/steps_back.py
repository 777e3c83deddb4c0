"""Taking the steps of an act back: what it added goes, what it removed comes back, what it changed is as before."""

from typing import assert_never

from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from obslog.records.history.notes import FEW, Notes
from obslog.records.history.rows import parked_among, remove_rows, rows_as_stored
from obslog.records.history.steps import Added, Edited, Removed, Step
from obslog.records.tables.logbook import Act
from obslog.records.undoing.as_said import joined_among
from obslog.records.undoing.changing_back import change_back, left_as_they_were
from obslog.records.undoing.dependents import joined_to_another, later_act, who_refers
from obslog.records.undoing.putting_back import put_back
from obslog.records.undoing.taking_back import HAVE_OTHERS_STAND, Refuse, TakingBack
from obslog.records.undoing.undo_errors import ContradictsItself


def take_back(session: Session, act: Act, steps: list[Step], refuse: Refuse) -> Notes:
    """Take the steps back, the last first; gives what that changed. Raises what `refuse` gives."""
    later = later_act(session, act, steps)
    if later is not None:
        raise refuse("something newer depends on it", later)
    joined = joined_to_another(session, steps)
    if joined is not None:
        raise refuse("it would bring back a record that was made one with another since", joined)
    removed = [key for step in steps if isinstance(step, Removed) for key in step.keys]
    back = TakingBack(
        session=session,
        act=act,
        refuse=refuse,
        joined=joined_among(session, removed),
        decided=left_as_they_were(steps),
    )
    try:
        for step in reversed(steps):
            match step:
                case Added():
                    _remove(back, step)
                case Removed():
                    put_back(back, step)
                case Edited():
                    change_back(back, step)
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


def _remove(back: TakingBack, step: Added) -> None:
    hanging = who_refers(back.session, step.kind, step.keys)
    if hanging is not None:
        raise back.refuse("something newer depends on it", hanging.later)
    if step.kind.name in HAVE_OTHERS_STAND:
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
