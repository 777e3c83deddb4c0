"""Taking the other value of two, or dropping what cannot stand: ordinary acts."""

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
from obslog.records.history.images import read_image, record_kind
from obslog.records.history.recorder import call_act, note_changed
from obslog.records.merging import obstacles
from obslog.records.merging.disagreements import Disagreement, disagreements
from obslog.records.merging.kinds import kinds
from obslog.records.merging.same_aliases import read_aliases
from obslog.records.tables.base import Base, name_key
from obslog.records.tables.column_types import key_of


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
        found = next((one for one in disagreements(session) if one.reference == reference.lower()), None)
        if found is None:
            raise nothing_to_choose(session, reference.lower())
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
