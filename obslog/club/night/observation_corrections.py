"""Correcting an entry of the observing record or removing it, and what it said before."""

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog import fields
from obslog.club.night.nights import refuse_long_past
from obslog.club.night.observation_lines import ObservationLine, observation_lines
from obslog.club.night.observations import ObservationEntry, RecordedObservations, apply_entry
from obslog.club.night.open_night import NightChoice, chosen_night, instant_in_night
from obslog.club.sky.solar_questions import caution_at
from obslog.errors import NothingToChange, ObslogError
from obslog.grammar.target_names import target_named
from obslog.records.database import Database
from obslog.records.name_lookup import key_of_member
from obslog.records.tables.keys import reference_of
from obslog.records.tables.logbook_tables import (
    Act,
    Change,
    Equipment,
    Member,
    Night,
    Observation,
    Site,
)

_TOLD = (
    "at_utc", "target", "sighting", "vision", "member_id", "found_by", "eyepiece_id", "magnification", "filter",
    "rating", "sketch", "description",
)  # fmt: skip
_NAMED = {"member_id": ("observer", Member.__table__), "eyepiece_id": ("eyepiece", Equipment.__table__)}
"""Fields that hold a key: what they are called, and whose name is told."""


class NoSuchObservation(ObslogError):
    def __init__(self, number: int, last: int) -> None:
        there = f"its entries are numbered 1 to {last}" if last else "it has none yet"
        super().__init__(
            f"There is no observation {number} in this night: {there}.", "See them: obslog night show"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """One thing that a correction changed, with the old words."""

    at_utc: datetime
    what: str
    before: Any
    after: Any
    undone: bool


@dataclass(frozen=True, slots=True)
class ObservationPage:
    """An entry, and every correction of it, the oldest first."""

    entry: ObservationLine
    corrections: list[Correction]


@dataclass(frozen=True, slots=True)
class RemovedObservation:
    """What an entry said that is off the record now."""

    removed: ObservationLine


def edit_observation(
    database: Database,
    number: int | None,
    entry: ObservationEntry,
    now: datetime,
    *,
    choice: NightChoice | None = None,
    target: str | None = None,
    observer: str | None = None,
    sure: bool = False,
) -> RecordedObservations:
    """Change what an entry says, the one of that number or the last one typed in; the old words stay on record.

    Raises as record_observations, NoSuchObservation, NightLongPast.
    """
    if entry == ObservationEntry() and target is None and observer is None:
        raise NothingToChange(f"observation {number or ''}".strip())
    with database.write(now, f"correct observation {number or ''}".strip()) as session:
        night, site = _night_to_change(session, choice or NightChoice(), now)
        record = _numbered(session, number, choice or NightChoice())
        thing = target_named(record.target if target is None else fields.TARGET.checked(target))
        record.target = thing.name
        if observer is not None:
            record.member_id = key_of_member(session, observer)
        if entry.at is not None:
            record.at_utc = instant_in_night(entry.at, night, site, now)
        with session.no_autoflush:
            remarks = apply_entry(session, record, entry, thing, site, sure=sure)
        session.flush()
        return RecordedObservations(
            entries=[dict(observation_lines(session, night, site))[record.id]],
            remarks=remarks,
            caution=caution_at(thing, record.at_utc, site),
        )


def remove_observation(
    database: Database, number: int | None, now: datetime, *, choice: NightChoice | None = None
) -> RemovedObservation:
    """Take an entry off the record, that of the number or the last one typed in; those behind it count one less.

    Raises NoSuchObservation, NightLongPast.
    """
    with database.write(now, f"remove observation {number or ''}".strip()) as session:
        night = _night_to_change(session, choice or NightChoice(), now)
        record = _numbered(session, number, choice or NightChoice())
        lines = dict(observation_lines(session, *night))
        session.delete(record)
        return RemovedObservation(lines[record.id])


def show_observation(database: Database, number: int, choice: NightChoice) -> ObservationPage:
    """An entry with its corrections. Raises NoSuchObservation."""
    with database.read() as session:
        record = _numbered(session, number, choice)
        lines = dict(observation_lines(session, *chosen_night(session, choice)))
        return ObservationPage(lines[record.id], _corrections(session, record.id))


def _night_to_change(session: Session, choice: NightChoice, now: datetime) -> tuple[Night, Site]:
    night, site = chosen_night(session, choice)
    if choice == NightChoice() and not night.open:
        refuse_long_past(night, site, now)
    return night, site


def _numbered(session: Session, number: int | None, choice: NightChoice) -> Observation:
    lines = observation_lines(session, *chosen_night(session, choice))
    if number is None and lines:
        return session.get_one(Observation, max(key for key, _ in lines))
    number = 1 if number is None else number
    if not 1 <= number <= len(lines):
        raise NoSuchObservation(number, len(lines))
    return session.get_one(Observation, lines[number - 1][0])


def _corrections(session: Session, key: UUID) -> list[Correction]:
    query = (
        select(Change.before, Change.after, Act.at_utc, Act.undone_utc)
        .join(Act, Change.act_id == Act.id)
        .where(Change.record_kind == "Observation", Change.record_id == key, Change.before.is_not(None))
        .where(Act.undoes_id.is_(None))
        .order_by(Act.id, Change.id)
    )
    found = []
    for before, after, at_utc, undone_utc in session.execute(query):
        old, new = json.loads(before or "{}"), json.loads(after or "{}")
        found += [
            Correction(
                at_utc=at_utc,
                what=_NAMED[name][0] if name in _NAMED else name.removesuffix("_utc"),
                before=_told(session, name, old.get(name)),
                after=_told(session, name, new.get(name)),
                undone=undone_utc is not None,
            )
            for name in _TOLD
            if old.get(name) != new.get(name)
        ]
    return found


def _told(session: Session, field: str, value: Any) -> Any:
    """The value of a field as it is told; of what has no name any more the reference."""
    if field not in _NAMED or value is None:
        return value
    columns = _NAMED[field][1].c
    name = session.scalar(select(columns.name).where(columns.id == UUID(value)))
    return name or reference_of(UUID(value))
