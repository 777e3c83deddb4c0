"""What an act removed comes back: to its place, told apart from who has that, or noted only where it stands already."""

from collections.abc import Iterator, Sequence

from obslog.records.history.images import Image
from obslog.records.history.notes import FEW
from obslog.records.history.rows import images_now, put_rows
from obslog.records.history.steps import Removed
from obslog.records.undoing.as_said import as_said, as_written, told_apart
from obslog.records.undoing.dependents import who_holds
from obslog.records.undoing.taking_back import HAVE_OTHERS_STAND, TakingBack


def put_back(back: TakingBack, step: Removed) -> None:
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
    if step.kind.name in HAVE_OTHERS_STAND:
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


def _not_standing(back: TakingBack, step: Removed) -> Iterator[Image]:
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


def _never_stood(back: TakingBack, step: Removed, images: Sequence[Image]) -> bool:
    """Whether what is in the way of these records was there before they were removed: then they had no place either.

    Raises what `refuse` gives where somebody came to their place since.
    """
    if len(step.rows) > FEW:
        return False
    held = [one for image in images for one in who_holds(back.session, step.kind, image)]
    for one in held:
        if back.act.undoes_id is not None or one.later is None or one.later.act_id > back.act.id:
            raise back.in_the_way(one)
    return bool(held)
