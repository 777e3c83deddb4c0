"""What two laptops say otherwise: each field with both values, who wrote them and when, and what is to be settled."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy.orm import Session

from obslog.club.together.references import all_to_settle
from obslog.club.together.standing_words import Describing, ToSettle
from obslog.records.database import Database
from obslog.records.merging import obstacles
from obslog.records.merging.checks import kind_words
from obslog.records.merging.disagreements import Disagreement, disagreements
from obslog.records.merging.kinds import kinds
from obslog.records.tables.column_types import key_of
from obslog.records.tables.logbook import Act


@dataclass(frozen=True, slots=True, kw_only=True)
class OneSays:
    """A value, and who wrote it when, in which act."""

    value: str | float | None
    who: str | None
    at_utc: datetime | None
    act: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Conflict:
    """A field that two laptops changed without having seen each other.

    `stands` has no value where the record was removed; one that was made one with another is `joined_to` that.
    """

    reference: str
    kind: str
    what: str
    field: str
    stands: OneSays
    lost: OneSays
    removed: bool
    joined_to: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Conflicts:
    """All that several laptops say otherwise: values that gave way, and records that cannot stand as they are."""

    fields: list[Conflict]
    to_settle: list[ToSettle]


def list_conflicts(database: Database) -> Conflicts:
    with database.read() as session:
        words = describing(session)
        return Conflicts(
            fields=[told(session, words, one) for one in disagreements(session)],
            to_settle=all_to_settle(session),
        )


def told(session: Session, words: Describing, one: Disagreement) -> Conflict:
    lost = one.lost
    kind, key = lost.record_kind, lost.record_id
    there, joined_to = bool(words.fields(kind, key)), words.stands_for(key)
    name_it_had = None if there else one.image.get("name")
    return Conflict(
        reference=one.reference,
        kind=kind_words(kind).lower(),
        what=name_it_had or words.words(kind, key),
        field=lost.field,
        stands=_says(session, words, kind, lost.field, lost.stands, lost.stands_act),
        lost=_says(session, words, kind, lost.field, lost.lost, lost.lost_act),
        removed=not there and joined_to == key,
        joined_to=words.words(kind, joined_to) if joined_to != key else None,
    )


def _says(session: Session, words: Describing, kind: str, field: str, value: Any, act_id: str) -> OneSays:
    act = session.get(Act, key_of(act_id)) if act_id else None
    for other in kinds()[kind].refers.get(field, ()) if value else ():
        if words.fields(other, stands := words.stands_for(value)):
            value = words.words(other, stands)
    return OneSays(
        value=value,
        who=act.who if act else None,
        at_utc=act.at_utc if act else None,
        act=act.sentence if act else None,
    )


def describing(session: Session) -> Describing:
    return Describing(session, {key: image for _kind, key, image in obstacles.parked_images(session)})
