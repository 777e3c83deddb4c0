"""Set-ups: one mount and tube aligned once, and what its arrivals were."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from obslog import fields
from obslog.club.night.open_night import (
    A_MINUTE,
    NightChoice,
    SetupChoice,
    Where,
    chosen_night,
    chosen_setup,
    instant_in_night,
)
from obslog.club.register.observing_site import zone_or_none
from obslog.errors import WrongInput
from obslog.offsets import offset_words
from obslog.records.database import Database
from obslog.records.history.recorder import call_act
from obslog.records.name_lookup import by_name, key_of, key_of_member
from obslog.records.tables.logbook_tables import (
    Arrival,
    Eyepiece,
    Member,
    Mount,
    Night,
    Observation,
    Setup,
    Site,
    Tube,
)
from obslog.times import shown_local
from obslog.vocabulary.mounts import PierSide
from obslog.vocabulary.observations import says_none


class Retired(WrongInput):
    def __init__(self, kind: str, name: str, on: date) -> None:
        super().__init__(
            f"The {kind} {name} was retired on {on}.", f"Use another, or see those in use: obslog {kind} list"
        )


class BeginsBefore(WrongInput):
    def __init__(self, mount: str, at: str, what: str, when: str) -> None:
        super().__init__(
            f"A set-up of {mount} begins at {at}, and the one before it {what} {when}.",
            "Check the time, or correct the one before: obslog setup edit. If both are right, add --sure.",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ArrivalLine:
    """An arrival as it is shown: numbered within its set-up, at the site's time of day."""

    number: int
    at: str
    at_utc: datetime
    role: str
    target: str
    offset: str
    offset_east_arcmin: float | None
    offset_north_arcmin: float | None
    landing: str | None
    field_arcmin: float | None
    pier_side: str | None
    note: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SetupPage:
    """A set-up with all its arrivals, and to which side of the pier its tube was last said to have been turned."""

    night: date
    site: str
    mount: str
    setup: int
    tube: str | None
    observer: str | None
    eyepiece: str | None
    open: bool
    started: str
    pier_side: str | None
    pier_side_since: str | None
    arrivals: list[ArrivalLine]
    note: str | None


def start_setup(
    database: Database,
    mount_name: str,
    now: datetime,
    *,
    tube: str | None = None,
    observer: str | None = None,
    eyepiece: str | None = None,
    site: str | None = None,
    at: str | None = None,
    note: str | None = None,
    sure: bool = False,
    say: Callable[[str], None] = lambda _words: None,
) -> SetupPage:
    """Begin a new set-up of a mount in the open night; one of the same mount that is still open is ended.

    `say` is told of one that is ended with nothing in it: most likely the same was typed twice.
    Raises NoOpenNight, UnknownName, Retired, and unless `sure` BeginsBefore.
    """
    with database.write(now, f"start a set-up of {mount_name}") as session:
        night, its_site = chosen_night(session, NightChoice(site=site), must_be_open=True)
        started = instant_in_night(at, night, its_site, now)
        if not sure:
            question_order(session, (night, its_site), mount_name, started)
        empty = _open_and_empty(session, mount_name)
        where = begin_setup(
            session, (night, its_site), mount_name, started,
            tube=tube, observer=observer, eyepiece=eyepiece, note=note,
        )  # fmt: skip
        call_act(session, f"start a set-up of {where.mount.name}")
        for before in empty:
            say(
                f"{where.mount.name}'s set-up {before.ordinal} is ended by this, with no star and nothing seen in it. "
                "If it was typed twice: obslog undo"
            )
        return setup_page(session, where)


def _open_and_empty(session: Session, mount_name: str) -> list[Setup]:
    mount = by_name(session, Mount, mount_name)
    still_open = session.scalars(select(Setup).where(Setup.mount_id == mount.id, Setup.open))
    return [setup for setup in still_open if not entry_times(session, setup)]


def _end_of(before: Setup, started_utc: datetime | None) -> datetime | None:
    """When a set-up ended that another one ends; not known where it began after that one."""
    if started_utc is None or (before.started_utc is not None and before.started_utc > started_utc):
        return None
    return started_utc


def question_order(
    session: Session, night_at_site: tuple[Night, Site], mount_name: str, started: datetime
) -> None:
    """Raises BeginsBefore where an earlier set-up of the mount in that night began later, or has a later entry."""
    night, site = night_at_site
    mount, zone = by_name(session, Mount, mount_name), zone_or_none(site)
    for before in session.scalars(
        select(Setup)
        .where(Setup.night_id == night.id, Setup.mount_id == mount.id)
        .order_by(Setup.ordinal.desc())
    ):
        for what, when in (
            ("began at", before.started_utc),
            ("has an entry of", last_entry(session, before)),
        ):
            if when is not None and when > started + A_MINUTE:
                raise BeginsBefore(mount.name, shown_local(started, zone), what, shown_local(when, zone))


def entry_times(session: Session, setup: Setup) -> list[datetime]:
    """When the first and the last of its arrivals and observations were."""
    found: list[datetime] = []
    for table in (Arrival, Observation):
        query = select(func.min(table.at_utc), func.max(table.at_utc)).where(table.setup_id == setup.id)
        found += [at for at in session.execute(query).one() if at is not None]
    return found


def last_entry(session: Session, setup: Setup) -> datetime | None:
    return max(entry_times(session, setup), default=None)


def begin_setup(
    session: Session,
    night_at_site: tuple[Night, Site],
    mount_name: str,
    started_utc: datetime | None,
    *,
    tube: str | None = None,
    observer: str | None = None,
    eyepiece: str | None = None,
    note: str | None = None,
) -> Where:
    """Begin a set-up in a night, within a transaction; when it began is None where nobody knows.

    Raises UnknownName, Retired.
    """
    night, site = night_at_site
    mount = by_name(session, Mount, mount_name)
    if mount.retired_on is not None:
        raise Retired("mount", mount.name, mount.retired_on)
    last = select(func.max(Setup.ordinal)).where(Setup.night_id == night.id, Setup.mount_id == mount.id)
    for before in session.scalars(select(Setup).where(Setup.mount_id == mount.id, Setup.open)):
        before.open, before.ended_utc = False, _end_of(before, started_utc)
    ordinal = (session.scalar(last) or 0) + 1
    fields.SETUP_ORDINAL.check(ordinal)
    setup = Setup(
        night_id=night.id,
        mount_id=mount.id,
        ordinal=ordinal,
        tube_id=key_of(session, Tube, tube),
        member_id=key_of_member(session, observer),
        eyepiece_id=None if says_none(eyepiece) else key_of(session, Eyepiece, eyepiece),
        started_utc=started_utc,
        open=True,
        note=fields.NOTE.checked_or_none(note),
    )
    session.add(setup)
    session.flush()
    return Where(setup, night, site, mount)


def show_setup(database: Database, choice: SetupChoice) -> SetupPage:
    with database.read() as session:
        return setup_page(session, chosen_setup(session, choice, or_newest=True))


def arrivals_in_order(session: Session, setup_id: UUID) -> list[Arrival]:
    """The arrivals of a set-up in the order of their times; the first has number 1."""
    query = select(Arrival).where(Arrival.setup_id == setup_id).order_by(Arrival.at_utc, Arrival.id)
    return list(session.scalars(query))


def numbered_line(session: Session, arrival: Arrival, where: Where) -> ArrivalLine:
    """An arrival as it is shown, with its number in the set-up."""
    in_order = [other.id for other in arrivals_in_order(session, where.setup.id)]
    return arrival_line(in_order.index(arrival.id) + 1, arrival, where)


def arrival_line(number: int, arrival: Arrival, where: Where) -> ArrivalLine:
    east, north = arrival.offset_east_arcmin, arrival.offset_north_arcmin
    return ArrivalLine(
        number=number,
        at=shown_local(arrival.at_utc, where.zone),
        at_utc=arrival.at_utc,
        role=arrival.role,
        target=arrival.target,
        offset="" if east is None or north is None else offset_words(east, north),
        offset_east_arcmin=east,
        offset_north_arcmin=north,
        landing=arrival.landing,
        field_arcmin=arrival.field_arcmin,
        pier_side=arrival.pier_side,
        note=arrival.note,
    )


def setup_page(session: Session, where: Where) -> SetupPage:
    """The set-up with its arrivals, to be shown."""
    setup = where.setup

    def name_of(table: type[Tube] | type[Member] | type[Eyepiece], key: UUID | None) -> str | None:
        return session.scalar(select(table.name).where(table.id == key)) if key else None

    return SetupPage(
        night=where.night.night_of,
        site=where.site.name,
        mount=where.mount.name,
        setup=setup.ordinal,
        tube=name_of(Tube, setup.tube_id),
        observer=name_of(Member, setup.member_id),
        eyepiece=name_of(Eyepiece, setup.eyepiece_id),
        open=setup.open,
        started=shown_local(setup.started_utc, where.zone),
        pier_side=setup.pier_side,
        pier_side_since=shown_local(setup.pier_side_since_utc, where.zone) or None,
        arrivals=[arrival_line(n, a, where) for n, a in enumerate(arrivals_in_order(session, setup.id), 1)],
        note=setup.note,
    )


def side_since_flip(setup: Setup, at_utc: datetime) -> PierSide | None:
    """The side of the pier to which the tube was turned before; None where nobody said so."""
    since = setup.pier_side_since_utc
    return setup.pier_side if since is not None and at_utc >= since else None
