"""Taking the other value of two, keeping that which stands, or dropping what cannot stand: ordinary acts."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from obslog.club.together.contradictions import describing, told
from obslog.club.together.references import nothing_to_choose, nothing_to_drop
from obslog.club.together.standing_words import short
from obslog.errors import ObslogError
from obslog.records.database import Database
from obslog.records.history.images import Image, read_image, record_kind
from obslog.records.history.recorder import call_act, note_changed
from obslog.records.history.rows import images_now
from obslog.records.merging import obstacles
from obslog.records.merging.disagreements import Disagreement, disagreements
from obslog.records.merging.kinds import kinds
from obslog.records.merging.same_aliases import read_aliases
from obslog.records.tables.base import Base, name_key
from obslog.records.tables.column_types import key_of
from obslog.records.undoing.as_said import as_said


class CannotChoose(ObslogError):
    def __init__(self, what: str, why: str, hint: str) -> None:
        super().__init__(f"The other value of {what} cannot stand: {why}.", hint)


@dataclass(frozen=True, slots=True, kw_only=True)
class Decided:
    """What was decided, in a sentence."""

    reference: str
    sentence: str


def choose(database: Database, reference: str, now: datetime) -> Decided:
    """Let the value stand that gave way. Raises NoSuchConflict, NothingToChoose, CannotChoose."""
    with database.write(now, "choose the other value") as session:
        found = _found(session, reference)
        lost = found.lost
        mapped: type[Base] = kinds()[lost.record_kind].mapper.class_
        kind = record_kind(mapped)
        what = describing(session).words(lost.record_kind, lost.record_id)
        sentence = f"choose the other {_field_words(lost.field)} of {what}"
        record = session.get(kind.mapped, key_of(lost.record_id))
        if record is None:
            raise _without_a_place(session, found)
        aliases = read_aliases(session)
        image = {
            name: aliases.stands_for(value) if name in kinds()[kind.name].refers and value else value
            for name, value in found.image.items()
        }
        for name, value in read_image(kind, {name: image[name] for name in found.fields}).items():
            setattr(record, name, value)
            if name == "name":
                setattr(record, "name_key", name_key(value))  # noqa: B010 - not every kind has one
        call_act(session, sentence[:1000])
        try:
            session.flush()
        except IntegrityError as error:
            raise CannotChoose(
                what, "another has it", "See what is on record, and change that first."
            ) from error
    return Decided(
        reference=reference,
        sentence=f"Chosen: {_shown(lost.lost)} for the {_field_words(lost.field)} of {what}.",
    )


def keep(database: Database, reference: str, now: datetime) -> Decided:
    """Let what stands be right, so that it is not listed any more. Raises NoSuchConflict, NothingToChoose.

    In the log it is the other value written, and in the same act what stood again: by somebody who saw both.
    """
    with database.write(now, "keep what stands") as session:
        found = _found(session, reference)
        lost = found.lost
        conflict = told(session, describing(session), found)
        field = _field_words(lost.field)
        call_act(session, f"keep the {field} of {conflict.what}"[:1000])
        stands = _image_that_stands(session, found)
        other = {**stands, **{name: found.image[name] for name in found.fields}}
        note_changed(session, lost.record_kind, lost.record_id, stands, other)
        note_changed(session, lost.record_kind, lost.record_id, other, stands)
    if conflict.removed:
        return Decided(reference=reference, sentence=f"Kept: {conflict.what} stays removed.")
    value = _shown(conflict.stands.value)
    return Decided(reference=reference, sentence=f"Kept: {value} for the {field} of {conflict.what}.")


def _image_that_stands(session: Session, found: Disagreement) -> Image:
    """The record in whose field another value stands: its row, or what the log says of it where it has none."""
    lost = found.lost
    mapped: type[Base] = kinds()[lost.record_kind].mapper.class_
    kind = record_kind(mapped)
    row = images_now(session, kind, [lost.record_id]).get(lost.record_id)
    return as_said(session, lost.record_kind, lost.record_id) if row is None else row


def _found(session: Session, reference: str) -> Disagreement:
    for one in disagreements(session):
        if one.reference == reference.lower():
            return one
    raise nothing_to_choose(session, reference.lower())


def _without_a_place(session: Session, found: Disagreement) -> CannotChoose:
    conflict = told(session, describing(session), found)
    if conflict.joined_to is not None:
        return CannotChoose(
            conflict.what,
            f"it was made one with {conflict.joined_to}",
            "Edit that, if the value is its own too.",
        )
    back = f"Bring it back first: obslog undo {short(found.lost.stands_act)}"
    return CannotChoose(conflict.what, "it has no place of its own now", back)


def drop(database: Database, reference: str, now: datetime) -> Decided:
    """Take a record off record that cannot stand, with what belongs to it.

    Raises NoSuchConflict, NothingToDrop.
    """
    with database.write(now, "drop a record that cannot stand") as session:
        parked = {key: (kind, image) for kind, key, image in obstacles.parked_images(session)}
        wanted = [key for key in parked if short(key) == reference.lower()]
        if len(wanted) != 1:
            raise nothing_to_drop(session, reference.lower())
        what = describing(session).words(parked[wanted[0]][0], wanted[0])
        call_act(session, f"drop {what}"[:1000])
        for key in reversed(_with_its_parts(wanted[0], parked)):  # undone, they come back the other way round
            kind, image = parked[key]
            note_changed(session, kind, key, image, None)
    return Decided(reference=reference, sentence=f"Dropped: {what}. Its history stays.")


def _with_its_parts(key: str, parked: Mapping[str, tuple[str, Mapping[str, Any]]]) -> list[str]:
    found = [key]
    for one in found:
        for other, (kind, image) in parked.items():
            if other not in found and one in {image.get(column) for column in kinds()[kind].refers}:
                found.append(other)
    return found


def _field_words(field: str) -> str:
    return field.removesuffix("_id").replace("_", " ")


def _shown(value: Any) -> str:
    return "nothing" if value is None else str(value)
