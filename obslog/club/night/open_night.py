"""Which night and which set-up an act is about: the open one, or one that was named."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from sqlalchemy import Select, select
from sqlalchemy.orm import Session

from obslog.club.register.observing_site import zone_of, zone_or_none, zone_or_utc
from obslog.errors import ObslogError, WrongInput, quoted
from obslog.grammar.typed_times import read_instant_utc
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Mount, Night, Setup, Site
from obslog.times import night_bounds_utc, night_of, not_in_future

A_DAY = timedelta(days=1)
A_MINUTE = timedelta(minutes=1)  # times of day are typed without their seconds


class NoOpenNight(ObslogError):
    def __init__(self) -> None:
        super().__init__("No night is open.", "Start one: obslog night start SITE")


class NoOpenSetup(ObslogError):
    def __init__(self, mount: str | None = None) -> None:
        super().__init__(
            f"No set-up of {mount} is open." if mount else "No set-up is open.",
            "Start one: obslog setup start MOUNT --tube TUBE --observer NAME",
        )


class WhichOne(WrongInput):
    """Several nights or set-ups fit what was said."""

    def __init__(self, what: str, names: Sequence[str], option: str) -> None:
        super().__init__(f"Several {what} fit: {', '.join(names)}.", f"Choose one: {option}")


class NoSuchNight(ObslogError):
    def __init__(self, what: str) -> None:
        super().__init__(f"There is no {what} on record.", "See what there is: obslog night list")


class NightIsOver(ObslogError):
    def __init__(self, night: Night, site: Site) -> None:
        which = f"{night.night_of} at {site.name}"
        if not night.open:
            super().__init__(f"The night of {which} is over.", "Say when it was: --at 21:40.")
            return
        super().__init__(
            f"The open night is {which}, and it is past its noon.",
            f"Add --at 21:40 for that night, or start tonight's: obslog night start {quoted(site.name)}",
        )


class SetupLongPast(WrongInput):
    def __init__(self, mount: str, night: date, site: str) -> None:
        super().__init__(
            f"No set-up is open, and the newest, of {mount} in the night of {night} at {site}, is over for more than "
            "a day.",
            f"If you mean it, add --night {night}.",
        )


@dataclass(frozen=True, slots=True)
class NightChoice:
    """What was said to choose a night: nothing means the open one, else the newest."""

    site: str | None = None
    night: date | None = None


@dataclass(frozen=True, slots=True)
class SetupChoice:
    """What was said to choose a set-up: nothing means the open one."""

    mount: str | None = None
    site: str | None = None
    night: date | None = None
    ordinal: int | None = None

    @property
    def names_the_past(self) -> bool:
        return self.night is not None or self.ordinal is not None


@dataclass(frozen=True, slots=True)
class Where:
    """A set-up with its night, site and mount."""

    setup: Setup
    night: Night
    site: Site
    mount: Mount

    @property
    def zone(self) -> ZoneInfo | None:
        return zone_or_none(self.site)


def instant_in_night(text: str | None, night: Night, site: Site, now: datetime) -> datetime:
    """The instant meant by `--at`, or now; never in the future, and always inside the night.

    Raises NightIsOver where nothing was said and now is not in the night any more.
    """
    zone = zone_of(site)
    if text is None:
        if night_of(now, zone) != night.night_of:
            raise NightIsOver(night, site)
        return now
    return not_in_future(read_instant_utc(text, night.night_of, zone, now), now)


def chosen_night(session: Session, choice: NightChoice, *, must_be_open: bool = False) -> tuple[Night, Site]:
    """The night that was named; else the open one; else, unless it must be open, the newest.

    Of two on one date, at two sites, the newest is the one that was begun last.
    Raises UnknownName, NoOpenNight, NoSuchNight, or WhichOne where several are open.
    """
    query = select(Night, Site).join(Site, Night.site_id == Site.id).order_by(Night.night_of, Night.id)
    if choice.site is not None:
        query = query.where(Site.id == by_name(session, Site, choice.site).id)
    if choice.night is not None:
        query = query.where(Night.night_of == choice.night)
    rows = session.execute(query.where(Night.open) if choice.night is None else query).all()
    if not rows and choice.night is None and not must_be_open:
        newest = query.order_by(None).order_by(Night.night_of.desc(), Night.id.desc()).limit(1)
        rows = session.execute(newest).all()
    if not rows:
        raise NoOpenNight if must_be_open else NoSuchNight("such night")
    if len(rows) > 1:
        raise WhichOne("nights", [f"{night.night_of} at {site.name}" for night, site in rows], "--site SITE")
    return rows[0]


def chosen_setup(session: Session, choice: SetupChoice, *, or_newest: bool = False) -> Where:
    """The set-up that was named, or the open one, or where `or_newest` the newest of those that fit.

    Of several set-ups of one mount in one night it is the last.

    Raises UnknownName, NoOpenSetup, NoSuchNight or WhichOne.
    """
    query = _setups_like(session, choice).order_by(Setup.ordinal.desc(), Setup.id)
    if choice.names_the_past:
        rows = session.execute(query).all()
    else:
        rows = session.execute(query.where(Setup.open)).all()
        if not rows and or_newest:
            newest = query.order_by(None).order_by(Night.night_of.desc(), Setup.id.desc()).limit(1)
            rows = session.execute(newest).all()
    if not rows:
        raise (
            NoSuchNight("such set-up") if choice.names_the_past or or_newest else _none_open(session, choice)
        )
    if len({(night.id, mount.id) for _, night, _, mount in rows}) > 1:
        listed = [
            f"{mount.name} ({night.night_of} at {site.name}, {setup.ordinal})"
            for setup, night, site, mount in rows
        ]
        raise WhichOne("set-ups", listed, "--mount MOUNT")
    return Where(*rows[0])


def setup_to_change(session: Session, choice: SetupChoice, now: datetime) -> Where:
    """The set-up that is corrected: as `chosen_setup` or the newest, but none long past where nothing was named.

    Raises SetupLongPast, and as `chosen_setup`.
    """
    where = chosen_setup(session, choice, or_newest=True)
    if choice == SetupChoice() and not where.setup.open and long_past(where.night, where.site, now):
        raise SetupLongPast(where.mount.name, where.night.night_of, where.site.name)
    return where


def long_past(night: Night, site: Site, now: datetime) -> bool:
    """Whether a night has been over for more than a day."""
    return now > night_bounds_utc(night.night_of, zone_or_utc(site.zone))[1] + A_DAY


def _none_open(session: Session, choice: SetupChoice) -> NoOpenSetup:
    return NoOpenSetup(by_name(session, Mount, choice.mount).name if choice.mount else None)


def open_setup(session: Session, mount: str | None) -> Where | None:
    """The open set-up (of that mount, where one is named); None where there is none. Raises WhichOne."""
    try:
        return chosen_setup(session, SetupChoice(mount=mount))
    except NoOpenSetup:
        return None


def _setups_like(session: Session, choice: SetupChoice) -> Select[Setup, Night, Site, Mount]:
    query = (
        select(Setup, Night, Site, Mount)
        .join(Night, Setup.night_id == Night.id)
        .join(Site, Night.site_id == Site.id)
        .join(Mount, Setup.mount_id == Mount.id)
    )
    if choice.mount is not None:
        query = query.where(Mount.id == by_name(session, Mount, choice.mount).id)
    if choice.site is not None:
        query = query.where(Site.id == by_name(session, Site, choice.site).id)
    if choice.night is not None:
        query = query.where(Night.night_of == choice.night)
    if choice.ordinal is not None:
        query = query.where(Setup.ordinal == choice.ordinal)
    return query
