"""Observations on record by who looked at what, where and when; and what the rows that came in do to them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.bring_in.intake import differences
from obslog.records.tables.logbook_tables import Night, Observation

KEPT = (
    "setup_id", "eyepiece_id", "sighting", "description", "magnification", "filter", "vision", "found_by",
    "rating", "sketch",
)  # fmt: skip
Where = tuple[UUID, datetime, str, UUID | None]
"""The site, the instant, the target and the observer: what an observation is known by."""


@dataclass(slots=True)
class ObservationOnRecord:
    """An observation on record, and whether a row has been found to be about it."""

    key: UUID
    values: dict[str, Any]
    taken: bool = False


@dataclass(slots=True)
class ObservationsOnRecord:
    """All observations on record between two instants."""

    by_where: dict[Where, list[ObservationOnRecord]] = field(default_factory=dict)
    keys: set[UUID] = field(default_factory=set)

    def the_same(self, where: Where, told: Mapping[str, Any]) -> ObservationOnRecord | None:
        """One of those there of which nothing is told otherwise; the next time another, if there is one."""
        if not self.by_where:  # a club's first sheet: nothing need be looked for, row by row
            return None
        equal = [one for one in self.by_where.get(where, ()) if not differences(one.values, told)]
        found = next((one for one in equal if not one.taken), equal[0] if equal else None)
        if found is not None:
            found.taken = True
        return found

    def another(self, where: Where) -> ObservationOnRecord | None:
        """One of those there that no row is about yet."""
        if not self.by_where:
            return None
        found = next((one for one in self.by_where.get(where, ()) if not one.taken), None)
        if found is not None:
            found.taken = True
        return found


def known_between(session: Session, instants: Sequence[datetime]) -> ObservationsOnRecord:
    """What is on record between the first and the last of some instants."""
    known = ObservationsOnRecord()
    if not instants:
        return known
    query = (
        select(
            Observation.id,
            Night.site_id,
            Observation.at_utc,
            Observation.target,
            Observation.member_id,
            *(getattr(Observation, column) for column in KEPT),
        )
        .join(Night, Observation.night_id == Night.id)
        .where(Observation.at_utc.between(min(instants), max(instants)))
        .order_by(Observation.id)
    )
    for key, site_id, at_utc, target, member_id, *values in session.execute(query):
        known.keys.add(key)
        known.by_where.setdefault((site_id, at_utc, target, member_id), []).append(
            ObservationOnRecord(key, dict(zip(KEPT, values, strict=True)))
        )
    return known
