"""Readings of the sky beside what was observed: which one of a scale holds at a time."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.records.tables.logbook_tables import SkyReading
from obslog.vocabulary.sky_scales import SkyScale


@dataclass(frozen=True, slots=True)
class Reading:
    """A number on a scale; without a time it is the whole night's."""

    scale: SkyScale
    value: float
    at_utc: datetime | None = None


def in_force(readings: Iterable[Reading], scale: SkyScale, at_utc: datetime) -> float | None:
    """What a scale was last read as before that time; else the night's reading, else the first one after it."""
    of_scale = [reading for reading in readings if reading.scale is scale]
    timed = sorted(
        ((reading.at_utc, reading.value) for reading in of_scale if reading.at_utc is not None),
        key=lambda one: one[0],
    )
    before = [value for at, value in timed if at <= at_utc]
    of_night = [reading.value for reading in of_scale if reading.at_utc is None]
    after = [value for at, value in timed if at > at_utc]
    return next((value for values in (before[-1:], of_night[-1:], after[:1]) for value in values), None)


def all_in_force(readings: Iterable[Reading], at_utc: datetime) -> dict[SkyScale, float]:
    """What each scale that was read in the night was at that time."""
    found = {
        scale: in_force(readings, scale, at_utc) for scale in dict.fromkeys(one.scale for one in readings)
    }
    return {scale: value for scale, value in found.items() if value is not None}


def readings_by_night(session: Session) -> dict[UUID, list[Reading]]:
    """All readings on record in the order in which they were noted, by the keys of their nights."""
    found: dict[UUID, list[Reading]] = {}
    query = select(SkyReading.night_id, SkyReading.scale, SkyReading.value, SkyReading.at_utc)
    for night_id, scale, value, at_utc in session.execute(query.order_by(SkyReading.id)):
        found.setdefault(night_id, []).append(Reading(scale, value, at_utc))
    return found
