"""What an act changed is as before: the fields that it wrote go back; what has been changed since is refused."""

from collections.abc import Sequence

from obslog.records.history.images import Image
from obslog.records.history.rows import change_row, images_now, parked_among
from obslog.records.history.steps import Edited, Step
from obslog.records.undoing.as_said import as_said, joined_among, may_stand_otherwise
from obslog.records.undoing.dependents import who_holds
from obslog.records.undoing.taking_back import TakingBack


def left_as_they_were(steps: Sequence[Step]) -> set[str]:
    """The records that an act changed and changed back: it said of a value that it is right."""
    edits: dict[str, list[Edited]] = {}
    for step in steps:
        if isinstance(step, Edited):
            edits.setdefault(step.key, []).append(step)
    return {
        key
        for key, of_it in edits.items()
        if all(of_it[0].before.get(name) == of_it[-1].after.get(name) for one in of_it for name in one.fields)
    }


def change_back(back: TakingBack, step: Edited) -> None:
    if step.key in back.decided:
        back.notes.changed(step.kind.name, step.key, step.after, step.before)
        return
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
        raise back.in_the_way(one)
    change_row(back.session, step.kind, row, [name for name in step.fields if name not in otherwise])


def _change_without_row(back: TakingBack, step: Edited) -> None:
    """Note what a record is again that is parked, or that somebody else made one with another."""
    image: Image | None = parked_among(back.session, [step.key]).get(step.key)
    if image is None and joined_among(back.session, [step.key]):
        image = as_said(back.session, step.kind.name, step.key)
        _refuse_if_changed(back, step, step.fields, image)
    if image is None:
        raise back.refuse("the record is gone", None)
    was = {**image, **{name: step.before[name] for name in step.fields}}
    back.notes.changed(step.kind.name, step.key, image, was)


def _refuse_if_changed(back: TakingBack, step: Edited, fields: Sequence[str], now: Image) -> None:
    """A row may stand otherwise than it was written, since others were joined: that is no change."""
    since = [name for name in fields if now.get(name) != step.after[name]]
    if since:
        raise back.refuse(
            f"its {since[0].removesuffix('_id').replace('_', ' ')} has been changed since", None
        )
