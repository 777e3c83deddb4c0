"""Nights as they are shown: one with all that hangs on it, or many in a list."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from sqlalchemy import func, select, union
from sqlalchemy.orm import Session, aliased

from obslog.club.night.observation_lines import ObservationLine, observation_lines
from obslog.club.night.open_night import NightChoice, Where, chosen_night
from obslog.club.night.setups import SetupPage, setup_page
from obslog.club.night.snags import SnagLine, snags_of_night
from obslog.club.register.observing_site import zone_or_none
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import (
    Arrival,
    Attendance,
    Equipment,
    Member,
    Mount,
    Night,
    Observation,
    Setup,
    Site,
    SkyReading,
)
from obslog.times import night_of, shown_local
from obslog.vocabulary.sky_scales import SkyScale


@dataclass(frozen=True, slots=True, kw_only=True)
class NightLine:
    """A night in a list."""

    night: date
    site: str
    open: bool
    setups: int
    arrivals: int
    present: list[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class SetupLine:
    """A set-up in the list of its night."""

    mount: str
    setup: int
    tube: str | None
    observer: str | None
    arrivals: int
    open: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SkyLine:
    """A reading of the sky as it is shown; None where it is not known when in the night it was."""

    scale: SkyScale
    value: float
    at: str | None
    at_utc: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class NightPage:
    """A night with all that hangs on it; times of day are the site's."""

    night: date
    site: str
    open: bool
    started: str
    ended: str
    present: list[str]
    sky: list[SkyLine]
    setups: list[SetupLine]
    note: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WholeNight:
    """A night with what was recorded in it: the arrivals of each set-up, the snags, and what was seen."""

    page: NightPage
    setups: list[SetupPage]
    snags: list[SnagLine]
    observations: list[ObservationLine]


def list_nights(database: Database, *, site: str | None = None, most: int | None = None) -> list[NightLine]:
    """The nights on record, the newest first."""
    with database.read() as session:
        setups = select(Setup.night_id, func.count().label("n")).group_by(Setup.night_id).subquery()
        arrivals = (
            select(Setup.night_id, func.count().label("n"))
            .join(Arrival, Arrival.setup_id == Setup.id)
            .group_by(Setup.night_id)
            .subquery()
        )
        query = (
            select(Night, Site.name, func.coalesce(setups.c.n, 0), func.coalesce(arrivals.c.n, 0))
            .join(Site, Night.site_id == Site.id)
            .outerjoin(setups, setups.c.night_id == Night.id)
            .outerjoin(arrivals, arrivals.c.night_id == Night.id)
            .order_by(Night.night_of.desc(), Site.name_key)
            .limit(most)
        )
        if site is not None:
            query = query.where(Night.site_id == by_name(session, Site, site).id)
        rows = session.execute(query).all()
        people = present_on(session, [night.id for night, *_ in rows])
        return [
            NightLine(
                night=night.night_of,
                site=name,
                open=night.open,
                setups=n_setups,
                arrivals=n_arrivals,
                present=people.get(night.id, []),
            )
            for night, name, n_setups, n_arrivals in rows
        ]


def show_night(database: Database, choice: NightChoice) -> NightPage:
    with database.read() as session:
        return night_page(session, *chosen_night(session, choice))


def whole_night(database: Database, choice: NightChoice) -> WholeNight:
    """A night with everything in it. Raises as chosen_night."""
    with database.read() as session:
        return whole_night_of(session, *chosen_night(session, choice))


def whole_night_of(session: Session, night: Night, site: Site) -> WholeNight:
    """The same in a session that is open; set-ups by the names of their mounts, then by their numbers."""
    query = (
        select(Setup, Mount)
        .join(Mount, Setup.mount_id == Mount.id)
        .where(Setup.night_id == night.id)
        .order_by(Mount.name_key, Setup.ordinal)
    )
    return WholeNight(
        page=night_page(session, night, site),
        setups=[
            setup_page(session, Where(setup, night, site, mount)) for setup, mount in session.execute(query)
        ],
        snags=snags_of_night(session, night, site),
        observations=[line for _, line in observation_lines(session, night, site)],
    )


def present_on(session: Session, nights: Sequence[UUID]) -> dict[UUID, list[str]]:
    """Who was there on each of the nights, by name: who was noted, and whoever set up or observed."""
    there = union(
        *(
            select(table.night_id, table.member_id).where(table.night_id.in_(nights))
            for table in (Attendance, Setup, Observation)
        )
    ).subquery()
    query = (
        select(there.c.night_id, Member.name)
        .join(Member, there.c.member_id == Member.id)
        .order_by(Member.name_key)
    )
    people: dict[UUID, list[str]] = {}
    for night_id, name in session.execute(query):
        people.setdefault(night_id, []).append(name)
    return people


def night_page(session: Session, night: Night, site: Site) -> NightPage:
    """The night with all that hangs on it, to be shown."""
    zone = zone_or_none(site)
    readings = select(SkyReading).where(SkyReading.night_id == night.id).order_by(SkyReading.id)
    return NightPage(
        night=night.night_of,
        site=site.name,
        open=night.open,
        started=shown_local(night.started_utc, zone),
        ended=shown_local(night.ended_utc, zone),
        present=present_on(session, [night.id]).get(night.id, []),
        sky=[_sky_line(reading, night, zone) for reading in session.scalars(readings)],
        setups=_setup_lines(session, night),
        note=night.note,
    )


def _sky_line(reading: SkyReading, night: Night, zone: ZoneInfo | None) -> SkyLine:
    """The reading; one that was typed in after its night has no time in it."""
    at = reading.at_utc
    known = at is not None and (zone is None or night_of(at, zone) == night.night_of)
    return SkyLine(
        scale=reading.scale,
        value=reading.value,
        at=shown_local(at, zone) if known else None,
        at_utc=at if known else None,
    )


def _setup_lines(session: Session, night: Night) -> list[SetupLine]:
    mounts, tubes = aliased(Equipment), aliased(Equipment)
    query = (
        select(mounts.name, Setup.ordinal, tubes.name, Member.name, func.count(Arrival.id), Setup.open)
        .join(mounts, Setup.mount_id == mounts.id)
        .outerjoin(tubes, Setup.tube_id == tubes.id)
        .outerjoin(Member, Setup.member_id == Member.id)
        .outerjoin(Arrival, Arrival.setup_id == Setup.id)
        .where(Setup.night_id == night.id)
        .group_by(Setup.id, mounts.name, Setup.ordinal, tubes.name, Member.name, Setup.open)
        .order_by(mounts.name, Setup.ordinal)
    )
    return [
        SetupLine(mount=mount, setup=ordinal, tube=tube, observer=observer, arrivals=arrivals, open=is_open)
        for mount, ordinal, tube, observer, arrivals, is_open in session.execute(query)
    ]
