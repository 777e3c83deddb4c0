"""Objects looked at, or looked for."""

from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.current import (
    NightChoice,
    NoOpenSetup,
    chosen_night,
    instant_in_night,
    open_setup,
)
from obslog.club.targets import target_named
from obslog.club.texts import LONGEST_TARGET, written
from obslog.records.opening import Database
from obslog.records.queries import key_of
from obslog.records.tables import Eyepiece, Member, Observation
from obslog.times import shown_local, zone_named
from obslog.vocabulary import FindingMethod, Sighting


@dataclass(frozen=True, slots=True)
class ObservationLine:
    """An observed object, at the site's time of day."""

    night: date
    site: str
    at: str
    at_utc: datetime
    target: str
    sighting: Sighting
    found_by: FindingMethod | None
    observer: str | None
    eyepiece: str | None
    description: str | None


def record_observation(
    database: Database,
    target: str,
    now: datetime,
    *,
    sighting: Sighting = Sighting.SEEN,
    description: str | None = None,
    found_by: FindingMethod | None = None,
    observer: str | None = None,
    eyepiece: str | None = None,
    mount: str | None = None,
    at: str | None = None,
) -> ObservationLine:
    """Put an observed object on record: in the open set-up, or without one in the open night.

    Raises NoOpenNight, WhichOne, UnknownName, UnusableText.
    """
    name = target_named(written(target, "The target", LONGEST_TARGET)).name
    with database.write(now, f"saw {name}") as session:
        where = open_setup(session, mount)
        if where is None and mount is not None:
            raise NoOpenSetup
        night, site = (
            (where.night, where.site) if where else chosen_night(session, NightChoice(), must_be_open=True)
        )
        record = Observation(
            night_id=night.id,
            at_utc=instant_in_night(at, night, site, now),
            target=name,
            sighting=sighting,
            setup_id=where.setup.id if where else None,
            member_id=key_of(session, Member, observer, where.setup.member_id if where else None),
            eyepiece_id=key_of(session, Eyepiece, eyepiece, where.setup.eyepiece_id if where else None),
            found_by=found_by,
            description=description,
        )
        session.add(record)
        session.flush()
        return _lines(session, NightChoice(site.name, night.night_of))[-1]


def list_observations(database: Database, choice: NightChoice) -> list[ObservationLine]:
    """What was seen on a night, in order of time."""
    with database.read() as session:
        night, site = chosen_night(session, choice)
        return _lines(session, NightChoice(site.name, night.night_of), by_time=True)


def _lines(session: Session, choice: NightChoice, *, by_time: bool = False) -> list[ObservationLine]:
    night, site = chosen_night(session, choice)
    zone = zone_named(site.zone) if site.zone else None
    query = (
        select(Observation, Member.name, Eyepiece.name)
        .outerjoin(Member, Observation.member_id == Member.id)
        .outerjoin(Eyepiece, Observation.eyepiece_id == Eyepiece.id)
        .where(Observation.night_id == night.id)
        .order_by(Observation.at_utc if by_time else Observation.id, Observation.id)
    )
    return [
        ObservationLine(
            night.night_of, site.name, shown_local(o.at_utc, zone), o.at_utc, o.target, o.sighting, o.found_by,
            observer, eyepiece, o.description,
        )
        for o, observer, eyepiece in session.execute(query)
    ]  # fmt: skip
