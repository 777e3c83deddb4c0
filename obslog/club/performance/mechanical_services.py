"""Mechanical services: each restarts a mount's history, which so falls into eras."""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.records.tables.logbook_tables import Service


@dataclass(frozen=True, slots=True)
class MountEra:
    """A mount between two mechanical services: `until` the day of the one that ended it, None for the era of today."""

    key: UUID
    mount: str
    until: date | None

    def __str__(self) -> str:
        return self.mount if self.until is None else f"{self.mount} until {self.until}"


def mechanical_services(session: Session) -> dict[UUID, list[date]]:
    """The days of the mechanical services of each thing, in order; a thing that had none is not there."""
    query = select(Service.equipment_id, Service.done_on).where(Service.mechanical).order_by(Service.done_on)
    found: dict[UUID, list[date]] = {}
    for key, day in session.execute(query):
        found.setdefault(key, []).append(day)
    return found


def era_of(key: UUID, mount: str, night: date, services: Sequence[date]) -> MountEra:
    """The era of a mount in which a night falls; a night that begins on the day of a service comes after it."""
    place = bisect_right(services, night)
    return MountEra(key, mount, services[place] if place < len(services) else None)
