"""Nights: starting and ending one, who was there, and what the sky was like."""

from collections.abc import Sequence
from datetime import date, datetime
from typing import TypedDict, Unpack

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from obslog import fields
from obslog.club.night.night_pages import NightPage, night_page
from obslog.club.night.open_night import A_MINUTE, NightChoice, chosen_night, instant_in_night, long_past
from obslog.club.register.observing_site import zone_of, zone_or_utc
from obslog.english import enumerated
from obslog.errors import UnknownName, WrongInput, quoted
from obslog.grammar.sky_readings import ScaleReading
from obslog.records.database import Database
from obslog.records.history.recorder import call_act
from obslog.records.name_lookup import by_name, member_here
from obslog.records.tables.logbook_tables import (
    Arrival,
    Attendance,
    Member,
    Mount,
    Night,
    Observation,
    Setup,
    Site,
    SkyReading,
)
from obslog.times import FutureTime, night_bounds_utc, night_of, shown_local


class EndsTooEarly(WrongInput):
    def __init__(self, what: str, ended: str, last: str) -> None:
        super().__init__(
            f"{what} cannot end at {ended}: its last entry is of {last}.",
            "Give a later time with --at, or correct that entry first.",
        )


class EndsBeforeSetup(WrongInput):
    def __init__(self, ended: str, mount: str, began: str) -> None:
        super().__init__(
            f"The end cannot be at {ended}: the set-up of {mount} began at {began}.",
            f"Give a later time with --at, or correct the set-up: obslog setup edit {quoted(mount)} --start TIME",
        )


class NightLongPast(WrongInput):
    def __init__(self, night: Night, site: Site) -> None:
        super().__init__(
            f"No night is open, and the newest, of {night.night_of} at {site.name}, is over for more than a day.",
            f"If you mean it, add --night {night.night_of}; to start tonight's: "
            f"obslog night start {quoted(site.name)}",
        )


class TimeOfNothing(WrongInput):
    def __init__(self) -> None:
        super().__init__(
            "--at says when the sky was read, and no reading was given.", "Add --sky SCALE NUMBER."
        )


class Beginning(TypedDict, total=False):
    """What may be said of a night that is opened: which (tonight's, if not given), who is there, sky and note."""

    night: date | None
    present: Sequence[str]
    sky: Sequence[ScaleReading]
    note: str | None


def start_night(
    database: Database, site_name: str, now: datetime, **beginning: Unpack[Beginning]
) -> NightPage:
    """Open a night at a site: see `begin_night`."""
    with database.write(now, f"start the night at {site_name}") as session:
        begun = begin_night(session, site_name, now, **beginning)
        call_act(session, f"start the night at {begun[1].name}")
        return night_page(session, *begun)


def begin_night(
    session: Session,
    site_name: str,
    now: datetime,
    *,
    night: date | None = None,
    present: Sequence[str] = (),
    sky: Sequence[ScaleReading] = (),
    note: str | None = None,
) -> tuple[Night, Site]:
    """Open a night at a site, within a transaction; an older open night there is ended.

    A night that is on record already is opened again, so that late entries find their place. A night that is named
    is typed in later: when it began is then not known.
    """
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
    record.note = fields.NOTE.checked_or_none(note) or record.note
    session.flush()
    _attend(session, record, present)
    _note_sky(session, record, sky, None if typed_later else now)
    session.flush()
    return record, site


def note_night(
    database: Database,
    choice: NightChoice,
    now: datetime,
    *,
    present: Sequence[str] = (),
    sky: Sequence[ScaleReading] = (),
    at: str | None = None,
    note: str | None = None,
) -> NightPage:
    """Add to a night who was there, what the sky was like (at a moment, if not now), or a note.

    Raises NightLongPast where no night is named, and none is open nor has just ended; TimeOfNothing.
    """
    if at is not None and not sky:
        raise TimeOfNothing
    what = [word for word, told in (("people", present), ("the sky", sky), ("a note", note)) if told]
    with database.write(now, f"add {enumerated(what) or 'nothing'} to the night") as session:
        record, site = chosen_night(session, choice)
        if choice.night is None and not record.open:
            refuse_long_past(record, site, now)
        _attend(session, record, present)
        _note_sky(session, record, sky, _when_read(at, record, site, now))
        _add_note(record, note)
        session.flush()
        return night_page(session, record, site)


def end_night(
    database: Database, choice: NightChoice, now: datetime, *, at: str | None = None, note: str | None = None
) -> NightPage:
    """Close the open night and its set-ups: see `finish_night`."""
    with database.write(now, "end the night") as session:
        record, site = chosen_night(session, choice, must_be_open=True)
        finish_night(session, record, site, now, at=at, note=note)
        return night_page(session, record, site)


def finish_night(
    session: Session,
    night: Night,
    site: Site,
    now: datetime,
    *,
    at: str | None = None,
    note: str | None = None,
) -> None:
    """Close a night and its set-ups, within a transaction.

    When it ended is not known where it is typed in later without `at`. Raises EndsTooEarly, EndsBeforeSetup.
    """
    typed_later = night.started_utc is None or night_of(now, zone_of(site)) != night.night_of
    ended = None if at is None and typed_later else instant_in_night(at, night, site, now)
    _refuse_early_end(session, night, site, ended)
    _close(session, night, ended)
    _add_note(night, note)
    session.flush()


def _refuse_early_end(session: Session, night: Night, site: Site, ended: datetime | None) -> None:
    if ended is None:
        return
    arrivals = select(func.max(Arrival.at_utc)).join(Setup).where(Setup.night_id == night.id)
    seen = select(func.max(Observation.at_utc)).where(Observation.night_id == night.id)
    known = [when for when in (session.scalar(arrivals), session.scalar(seen)) if when is not None]
    zone = zone_of(site)
    if known and max(known) > ended + A_MINUTE:
        raise EndsTooEarly("The night", shown_local(ended, zone), shown_local(max(known), zone))
    setups = select(Mount.name, Setup.started_utc).join(Mount, Setup.mount_id == Mount.id)
    begun = setups.where(Setup.night_id == night.id, Setup.started_utc > ended + A_MINUTE)
    for mount, began in session.execute(begun.order_by(Setup.started_utc.desc()).limit(1)):
        raise EndsBeforeSetup(shown_local(ended, zone), mount, shown_local(began, zone))


def _close(session: Session, night: Night, ended: datetime | None) -> None:
    night.open, night.ended_utc = False, ended
    for setup in session.scalars(select(Setup).where(Setup.night_id == night.id, Setup.open)):
        setup.open, setup.ended_utc = False, ended


def _attend(session: Session, night: Night, present: Sequence[str]) -> None:
    there = set(session.scalars(select(Attendance.member_id).where(Attendance.night_id == night.id)))
    for member in (member for told in present for member in _members_named(session, told)):
        if member.id not in there:
            there.add(member.id)
            session.add(Attendance(night_id=night.id, member_id=member.id))


def _members_named(session: Session, told: str) -> list[Member]:
    """The member of that name; else those whose names stand in it with commas between."""
    parts = [part.strip() for part in told.split(",") if part.strip()]
    try:
        return [member_here(session, told)]
    except UnknownName:
        if len(parts) < 2:
            raise
    return [member_here(session, part) for part in parts]


def refuse_long_past(night: Night, site: Site, now: datetime) -> None:
    """Nothing is changed in the newest night where nobody named it and it is long over. Raises NightLongPast."""
    if long_past(night, site, now):
        raise NightLongPast(night, site)


def _when_read(at: str | None, night: Night, site: Site, now: datetime) -> datetime | None:
    """The moment of a reading; not known where none is said and the night is over."""
    if at is not None:
        return instant_in_night(at, night, site, now)
    return now if night.open and night_of(now, zone_or_utc(site.zone)) == night.night_of else None


def _note_sky(session: Session, night: Night, sky: Sequence[ScaleReading], at_utc: datetime | None) -> None:
    session.add_all(
        SkyReading(night_id=night.id, scale=reading.scale, value=reading.value, at_utc=at_utc)
        for reading in sky
    )


def _add_note(night: Night, note: str | None) -> None:
    if text := fields.NOTE.checked_or_none(note):
        night.note = f"{night.note}\n{text}" if night.note else text
