"""Nights: starting and ending one, who was there, what the sky was like, and looking back at them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID

from sqlalchemy import func, select
from sqlalchemy.orm import Session, aliased

from obslog.club.night.open_night import NightChoice, chosen_night, instant_in_night
from obslog.club.register.observing_site import zone_of
from obslog.errors import OutOfRange, WrongInput, nearest_names
from obslog.records.name_lookup import by_name
from obslog.records.opening import Database
from obslog.records.tables.logbook_tables import (
    Arrival,
    Attendance,
    Equipment,
    Member,
    Night,
    Observation,
    Setup,
    Site,
    SkyReading,
)
from obslog.times import FutureTime, night_bounds_utc, night_of, shown_local, zone_named
from obslog.vocabulary import SKY_SCALE_MEANING, SKY_SCALE_RANGE, SkyScale


class UnreadableSky(WrongInput):
    def __init__(self, text: str) -> None:
        words = [scale.value for scale in SkyScale]
        near = nearest_names(text.split()[0] if text.split() else "", words) or words
        super().__init__(
            f"{text!r} is no reading of the sky.",
            f"Write a scale and a number, like 'antoniadi 2' or 'sky-meter 21.3'. Scales: {', '.join(near)}.",
        )


class EndsTooEarly(WrongInput):
    def __init__(self, ended: str, last: str) -> None:
        super().__init__(
            f"The night cannot end at {ended}: its last entry is of {last}.",
            "Give a later time with --at, or put that entry right first.",
        )


class NumberWithoutScale(UnreadableSky):
    """A bare number: 2 is good on one scale and wretched on another."""

    def __init__(self, number: str, value: float) -> None:
        fitting = [
            f"{scale} ({SKY_SCALE_MEANING[scale]})"
            for scale, (low, high) in SKY_SCALE_RANGE.items()
            if low <= value <= high and scale not in _WEATHER
        ]
        WrongInput.__init__(
            self,
            f"{number} has no scale, and scales run in opposite ways.",
            f"Put the scale before it, one of: {'; '.join(fitting) or ', '.join(SkyScale)}. See: obslog scales",
        )


_SCALELESS = ("", "seeing", "transparency")
_WEATHER = (SkyScale.TEMPERATURE_C, SkyScale.HUMIDITY_PERCENT, SkyScale.WIND_BEAUFORT)


@dataclass(frozen=True, slots=True)
class Reading:
    scale: SkyScale
    value: float


@dataclass(frozen=True, slots=True)
class NightLine:
    """A night in a list."""

    night: date
    site: str
    open: bool
    setups: int
    arrivals: int
    present: list[str]


@dataclass(frozen=True, slots=True)
class SetupLine:
    """A set-up in the list of its night."""

    mount: str
    setup: int
    tube: str | None
    observer: str | None
    arrivals: int
    open: bool


@dataclass(frozen=True, slots=True)
class NightPage:
    """A night with all that hangs on it; times of day are the site's."""

    night: date
    site: str
    open: bool
    started: str
    ended: str
    present: list[str]
    sky: list[Reading]
    setups: list[SetupLine]
    note: str | None


def read_sky(text: str) -> Reading:
    """A reading such as `antoniadi 2`; raises UnreadableSky, NumberWithoutScale or OutOfRange."""
    word, _, number = text.strip().rpartition(" ")
    if word.strip().casefold() in _SCALELESS and (bare := _number(number)) is not None:
        raise NumberWithoutScale(text.strip(), bare)
    try:
        scale, value = SkyScale(word.strip().lower().replace(" ", "-")), float(number)
    except ValueError as error:
        raise UnreadableSky(text) from error
    low, high = SKY_SCALE_RANGE[scale]
    if not low <= value <= high:
        raise OutOfRange(f"The {scale} reading", number, low, high)
    return Reading(scale, value)


def _number(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None


def start_night(
    database: Database,
    site_name: str,
    now: datetime,
    *,
    night: date | None = None,
    present: Sequence[str] = (),
    sky: Sequence[Reading] = (),
    note: str | None = None,
) -> NightPage:
    """Open the night of `night` (tonight's, if not given) at a site; an older open night there is ended.

    A night that is on record already is opened again, so that late entries find their place. A night that is named
    is typed in later: when it began is then not known.
    """
    with database.write(now, f"start the night at {site_name}") as session:
        site = by_name(session, Site, site_name)
        zone = zone_of(site)
        typed_later = night is not None
        night = night or night_of(now, zone)
        if night_bounds_utc(night, zone)[0] > now:
            raise FutureTime(night_bounds_utc(night, zone)[0], now)
        for older in session.scalars(select(Night).where(Night.site_id == site.id, Night.open)):
            if older.night_of != night:
                _close(session, older, None)
        record = session.scalar(select(Night).where(Night.site_id == site.id, Night.night_of == night))
        if record is None:
            record = Night(site_id=site.id, night_of=night, started_utc=None if typed_later else now)
            session.add(record)
        record.open = True
        record.note = note or record.note
        session.flush()
        _attend(session, record, present)
        _note_sky(session, record, sky, now)
        session.flush()
        return _page(session, record, site)


def note_night(
    database: Database,
    choice: NightChoice,
    now: datetime,
    *,
    present: Sequence[str] = (),
    sky: Sequence[Reading] = (),
    note: str | None = None,
) -> NightPage:
    """Add to a night who was there, what the sky was like, or a note."""
    with database.write(now, "add to the night") as session:
        record, site = chosen_night(session, choice)
        _attend(session, record, present)
        _note_sky(session, record, sky, now)
        if note:
            record.note = f"{record.note}\n{note}" if record.note else note
        session.flush()
        return _page(session, record, site)


def end_night(
    database: Database, choice: NightChoice, now: datetime, *, at: str | None = None, note: str | None = None
) -> NightPage:
    """Close the open night and its set-ups; when it ended is not known where it is typed in later without `at`."""
    with database.write(now, "end the night") as session:
        record, site = chosen_night(session, choice, must_be_open=True)
        typed_later = record.started_utc is None or night_of(now, zone_of(site)) != record.night_of
        ended = None if at is None and typed_later else instant_in_night(at, record, site, now)
        _refuse_early_end(session, record, site, ended)
        _close(session, record, ended)
        if note:
            record.note = f"{record.note}\n{note}" if record.note else note
        session.flush()
        return _page(session, record, site)


def _refuse_early_end(session: Session, night: Night, site: Site, ended: datetime | None) -> None:
    if ended is None:
        return
    arrivals = select(func.max(Arrival.at_utc)).join(Setup).where(Setup.night_id == night.id)
    seen = select(func.max(Observation.at_utc)).where(Observation.night_id == night.id)
    known = [when for when in (session.scalar(arrivals), session.scalar(seen)) if when is not None]
    if known and max(known) > ended + timedelta(minutes=1):
        zone = zone_of(site)
        raise EndsTooEarly(shown_local(ended, zone), shown_local(max(known), zone))


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
        people = _present(session, [night.id for night, *_ in rows])
        return [
            NightLine(night.night_of, name, night.open, n_setups, n_arrivals, people.get(night.id, []))
            for night, name, n_setups, n_arrivals in rows
        ]


def show_night(database: Database, choice: NightChoice) -> NightPage:
    with database.read() as session:
        return _page(session, *chosen_night(session, choice))


def _close(session: Session, night: Night, ended: datetime | None) -> None:
    night.open, night.ended_utc = False, ended
    for setup in session.scalars(select(Setup).where(Setup.night_id == night.id, Setup.open)):
        setup.open, setup.ended_utc = False, ended


def _attend(session: Session, night: Night, present: Sequence[str]) -> None:
    there = set(session.scalars(select(Attendance.member_id).where(Attendance.night_id == night.id)))
    for name in present:
        member = by_name(session, Member, name)
        if member.id not in there:
            there.add(member.id)
            session.add(Attendance(night_id=night.id, member_id=member.id))


def _note_sky(session: Session, night: Night, sky: Sequence[Reading], now: datetime) -> None:
    session.add_all(
        SkyReading(night_id=night.id, scale=reading.scale, value=reading.value, at_utc=now) for reading in sky
    )


def _present(session: Session, nights: Sequence[UUID]) -> dict[UUID, list[str]]:
    query = (
        select(Attendance.night_id, Member.name)
        .join(Member, Attendance.member_id == Member.id)
        .where(Attendance.night_id.in_(nights))
        .order_by(Member.name_key)
    )
    people: dict[UUID, list[str]] = {}
    for night_id, name in session.execute(query):
        people.setdefault(night_id, []).append(name)
    return people


def _page(session: Session, night: Night, site: Site) -> NightPage:
    zone = zone_named(site.zone) if site.zone else None
    readings = select(SkyReading).where(SkyReading.night_id == night.id).order_by(SkyReading.id)
    return NightPage(
        night.night_of,
        site.name,
        night.open,
        shown_local(night.started_utc, zone),
        shown_local(night.ended_utc, zone),
        _present(session, [night.id]).get(night.id, []),
        [Reading(reading.scale, reading.value) for reading in session.scalars(readings)],
        _setup_lines(session, night),
        night.note,
    )


def _setup_lines(session: Session, night: Night) -> list[SetupLine]:
    mount, tube = aliased(Equipment), aliased(Equipment)
    query = (
        select(mount.name, Setup.ordinal, tube.name, Member.name, func.count(Arrival.id), Setup.open)
        .join(mount, Setup.mount_id == mount.id)
        .outerjoin(tube, Setup.tube_id == tube.id)
        .outerjoin(Member, Setup.member_id == Member.id)
        .outerjoin(Arrival, Arrival.setup_id == Setup.id)
        .where(Setup.night_id == night.id)
        .group_by(Setup.id, mount.name, Setup.ordinal, tube.name, Member.name, Setup.open)
        .order_by(mount.name, Setup.ordinal)
    )
    return [SetupLine(*row) for row in session.execute(query)]
