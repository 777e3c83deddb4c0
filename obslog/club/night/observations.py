"""Objects looked at, or looked for: each observer's own entry, with what observing programmes ask for."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.night.open_night import NightChoice, NoOpenSetup, chosen_night, instant_in_night, open_setup
from obslog.club.night.plausibility import (
    altitude_deg,
    power_of,
    question_altitude,
    question_power,
    same_entry,
    tube_of,
)
from obslog.club.night.target_names import Target, target_named
from obslog.club.register.typed_values import LONGEST_TARGET, written
from obslog.errors import OutOfRange
from obslog.records.name_lookup import key_of
from obslog.records.opening import Database
from obslog.records.tables.logbook_tables import Eyepiece, Member, Night, Observation, Setup, Site
from obslog.times import shown_local, zone_named
from obslog.vocabulary import FindingMethod, Sighting, Vision

LONGEST_SKETCH = 500
HIGHEST_POWER = 5000.0


@dataclass(frozen=True, slots=True)
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


@dataclass(frozen=True, slots=True)
class Sight:
    """What is told of an observed object; None was not said."""

    sighting: Sighting | None = None
    description: str | None = None
    found_by: FindingMethod | None = None
    vision: Vision | None = None
    eyepiece: str | None = None
    magnification: float | None = None
    filter: str | None = None
    rating: int | None = None
    sketch: str | None = None
    at: str | None = None


@dataclass(frozen=True, slots=True)
class Noted:
    """The entries that went on record, one for each observer, and what should be said about them."""

    entries: list[ObservationLine]
    remarks: list[str]


def record_observations(
    database: Database,
    target: str,
    sight: Sight,
    now: datetime,
    *,
    observers: Sequence[str | None] = (None,),
    mount: str | None = None,
    choice: NightChoice | None = None,
    sure: bool = False,
) -> Noted:
    """Put an observed object on record, an entry for each observer: in the open set-up, or in the open or named night.

    Raises NoOpenNight, WhichOne, UnknownName, UnusableText, OutOfRange; BelowHorizon or OtherPower unless `sure`.
    """
    thing = target_named(written(target, "The target", LONGEST_TARGET))
    with database.write(now, f"saw {thing.name}") as session:
        setup, night, site = _place_of(session, mount, choice)
        entries, remarks = [], _name_remarks(thing)
        for observer in dict.fromkeys(observers):
            record = Observation(
                night_id=night.id,
                at_utc=now,
                target=thing.name,
                setup_id=setup.id if setup else None,
                member_id=key_of(session, Member, observer, setup.member_id if setup else None),
                eyepiece_id=setup.eyepiece_id if setup else None,
            )
            record.at_utc = instant_in_night(sight.at, night, site, now)
            remarks += apply_sight(session, record, sight, thing, site, sure=sure)
            session.add(record)
            session.flush()
            entries.append(record)
            remarks += _twin_remarks(session, record)
        numbered = dict(observation_lines(session, night, site))
        return Noted([numbered[record.id] for record in entries], list(dict.fromkeys(remarks)))


def record_observation(
    database: Database,
    target: str,
    now: datetime,
    *,
    observer: str | None = None,
    mount: str | None = None,
    sighting: Sighting = Sighting.SEEN,
    description: str | None = None,
    found_by: FindingMethod | None = None,
    eyepiece: str | None = None,
    at: str | None = None,
) -> ObservationLine:
    """As `record_observations`, for one observer."""
    sight = Sight(sighting, description, found_by, eyepiece=eyepiece, at=at)
    return record_observations(database, target, sight, now, observers=[observer], mount=mount).entries[0]


def apply_sight(
    session: Session, record: Observation, sight: Sight, thing: Target, site: Site, *, sure: bool
) -> list[str]:
    """Write onto a record what was told, with altitude and magnification; gives remarks. See record_observations."""
    _check(sight)
    if sight.eyepiece:
        record.eyepiece_id = key_of(session, Eyepiece, sight.eyepiece)
    tube = tube_of(session, session.get(Setup, record.setup_id) if record.setup_id else None)
    eyepiece = session.get(Eyepiece, record.eyepiece_id) if record.eyepiece_id else None
    remarks = []
    if sight.magnification is not None:
        record.magnification = sight.magnification
        if not sure and (remark := question_power(sight.magnification, tube, eyepiece)):
            remarks.append(remark)
    elif record.magnification is None or sight.eyepiece:
        record.magnification = power_of(tube, eyepiece)
    for name in ("sighting", "found_by", "vision", "rating"):
        if getattr(sight, name) is not None:
            setattr(record, name, getattr(sight, name))
    for name, longest in (("description", 4000), ("filter", LONGEST_TARGET), ("sketch", LONGEST_SKETCH)):
        if getattr(sight, name) is not None:
            setattr(record, name, written(getattr(sight, name), f"The {name}", longest))
    record.alt_deg = altitude_deg(thing, record.at_utc, site)
    if not sure:
        question_altitude(thing, record.at_utc, site)
    return remarks


def list_observations(database: Database, choice: NightChoice) -> list[ObservationLine]:
    """What was seen on a night, in order of time."""
    with database.read() as session:
        return [line for _, line in observation_lines(session, *chosen_night(session, choice))]


def observation_lines(session: Session, night: Night, site: Site) -> list[tuple[UUID, ObservationLine]]:
    """The observations of a night in order of time, each with its key."""
    zone = zone_named(site.zone) if site.zone else None
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
                number, night.night_of, site.name, shown_local(o.at_utc, zone), o.at_utc, o.target, o.sighting,
                o.vision, o.found_by, observer, eyepiece, o.magnification, o.filter, o.rating, o.alt_deg,
                o.sketch, o.description,
            ),
        )
        for number, (o, observer, eyepiece) in enumerate(session.execute(query), start=1)
    ]  # fmt: skip


def _place_of(
    session: Session, mount: str | None, choice: NightChoice | None
) -> tuple[Setup | None, Night, Site]:
    if choice is not None:
        return None, *chosen_night(session, choice)
    where = open_setup(session, mount)
    if where is not None:
        return where.setup, where.night, where.site
    if mount is not None:
        raise NoOpenSetup
    return None, *chosen_night(session, NightChoice(), must_be_open=True)


def _check(sight: Sight) -> None:
    if sight.rating is not None and not 1 <= sight.rating <= 5:
        raise OutOfRange("The rating", sight.rating, 1, 5, "(the best)")
    if sight.magnification is not None and not 1 <= sight.magnification <= HIGHEST_POWER:
        raise OutOfRange("The magnification", sight.magnification, 1, HIGHEST_POWER)


def _name_remarks(thing: Target) -> list[str]:
    if thing.known:
        return []
    near = f" Did you mean {' or '.join(thing.nearest)}?" if thing.nearest else ""
    return [f"{thing.name} is no star or object known here; kept as written.{near}"]


def _twin_remarks(session: Session, record: Observation) -> list[str]:
    if same_entry(session, record) is None:
        return []
    return [
        f"{record.target} was on record already for the same minute and observer; both are kept. "
        "If it was typed twice: obslog undo"
    ]
