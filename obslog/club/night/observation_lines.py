"""The observations of a night as they are shown: numbered in order of time, with their altitude and their observer."""

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.night.open_night import NightChoice, chosen_night
from obslog.club.register.observing_site import zone_or_none
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Eyepiece, Member, Night, Observation, Site
from obslog.times import shown_local
from obslog.vocabulary.observations import FindingMethod, Sighting, Vision


@dataclass(frozen=True, slots=True, kw_only=True)
class ObservationLine:
    """An observed object, numbered within its night in order of time, at the site's time of day. None is unknown."""

    number: int
    night: date
    site: str
    at: str
    at_utc: datetime
    target: str
    sighting: Sighting
    vision: Vision | None
    found_by: FindingMethod | None
    observer: str | None
    eyepiece: str | None
    magnification: float | None
    filter: str | None
    rating: int | None
    alt_deg: float | None
    sketch: str | None
    description: str | None


def list_observations(database: Database, choice: NightChoice) -> list[ObservationLine]:
    """What was seen on a night, in order of time."""
    with database.read() as session:
        return [line for _, line in observation_lines(session, *chosen_night(session, choice))]


def observation_lines(session: Session, night: Night, site: Site) -> list[tuple[UUID, ObservationLine]]:
    """The observations of a night in order of time, each with its key."""
    zone = zone_or_none(site)
    query = (
        select(Observation, Member.name, Eyepiece.name)
        .outerjoin(Member, Observation.member_id == Member.id)
        .outerjoin(Eyepiece, Observation.eyepiece_id == Eyepiece.id)
        .where(Observation.night_id == night.id)
        .order_by(Observation.at_utc, Observation.id)
    )
    return [
        (
            o.id,
            ObservationLine(
                number=number,
                night=night.night_of,
                site=site.name,
                at=shown_local(o.at_utc, zone),
                at_utc=o.at_utc,
                target=o.target,
                sighting=o.sighting,
                vision=o.vision,
                found_by=o.found_by,
                observer=observer,
                eyepiece=eyepiece,
                magnification=o.magnification,
                filter=o.filter,
                rating=o.rating,
                alt_deg=o.alt_deg,
                sketch=o.sketch,
                description=o.description,
            ),
        )
        for number, (o, observer, eyepiece) in enumerate(session.execute(query), start=1)
    ]
