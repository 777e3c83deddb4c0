"""A night whose date or site was wrong: it is moved, and what hangs on it moves along.

By another date each entry keeps its local time of day, also across a change of the clocks: it moves by as many local
days as the night. By another site alone a night that was recorded as it went keeps its moments, which the clock gave,
and one that was typed in later keeps the times of day that stood on the paper. Snags and ticks move with their set-up;
those of no set-up stay where they are. What is worked out from place and time is worked out anew.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.night.arrivals import placed_target
from obslog.club.night.night_pages import NightPage, night_page
from obslog.club.night.open_night import NightChoice, chosen_night
from obslog.club.night.plausibility import altitude_deg, question_altitude
from obslog.club.register.observing_site import zone_or_none, zone_or_utc
from obslog.errors import NothingToChange, WrongInput, quoted
from obslog.grammar.target_names import target_named
from obslog.grammar.typed_times import OutsideNight
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import (
    Arrival,
    Night,
    Observation,
    Setup,
    Site,
    SkyReading,
    Snag,
    Tick,
)
from obslog.times import FutureTime, night_bounds_utc, night_of, not_in_future, shown_local

Entry = Night | Setup | Arrival | Observation | Snag | Tick | SkyReading


class NightThere(WrongInput):
    def __init__(self, day: date, site: str) -> None:
        super().__init__(
            f"There is a night of {day} at {site} on record already, and two nights are not made one.",
            f"See it: obslog night show --site {quoted(site)} --night {day}",
        )


class OpenNightThere(WrongInput):
    def __init__(self, day: date, site: str) -> None:
        super().__init__(
            f"{site} has an open night of its own, of {day}.",
            f"End it first: obslog night end --site {quoted(site)}",
        )


@dataclass(frozen=True, slots=True)
class MovedNight:
    """A night where and when it is now, and what should be said about it."""

    night: NightPage
    remarks: list[str]


@dataclass(slots=True, kw_only=True)
class _Move:
    """From where and when to where and when, and what of the times could not be kept."""

    old: ZoneInfo | None
    new: ZoneInfo | None
    days: timedelta
    until: datetime  # the end of the night as it was
    keeps_moments: bool
    remarks: list[str] = field(default_factory=list)

    def of(self, instant: datetime) -> datetime:
        """The same local time of day so many days on; the same moment where that is kept, or a zone is unknown."""
        if self.keeps_moments:
            return instant
        if self.old is None or self.new is None:
            return instant + self.days
        wall = instant.astimezone(self.old)
        meant = wall.replace(tzinfo=None) + self.days
        first = meant.replace(tzinfo=self.new, fold=wall.fold)
        moved = first.astimezone(UTC)
        if moved.astimezone(self.new).replace(tzinfo=None, fold=0) != meant.replace(fold=0):
            self.remarks.append(
                f"{meant:%H:%M} never came that night, the clocks went forward: it is {shown_local(moved, self.new)}."
            )
        elif first.utcoffset() != first.replace(fold=1 - first.fold).utcoffset():
            self.remarks.append(f"{meant:%H:%M} came twice that night: it is {moved:%H:%M}Z.")
        return moved


def move_night(
    database: Database,
    choice: NightChoice,
    now: datetime,
    *,
    to_site: str | None = None,
    to_date: date | None = None,
    sure: bool = False,
) -> MovedNight:
    """Give a night another site, another date or both.

    Raises NothingToChange, UnknownName, NightThere, OpenNightThere, FutureTime, OutsideNight, and unless `sure`
    Doubtful: of an object that would have been below the horizon.
    """
    if to_site is None and to_date is None:
        raise NothingToChange("the night")
    with database.write(now, "move the night") as session:
        night, site = chosen_night(session, choice)
        there = by_name(session, Site, to_site) if to_site is not None else site
        day = to_date or night.night_of
        _refuse_taken(session, night, there, day)
        if night_bounds_utc(day, zone_or_utc(there.zone))[0] > now:
            raise FutureTime(night_bounds_utc(day, zone_or_utc(there.zone))[0], now)
        move = _Move(
            old=zone_or_none(site),
            new=zone_or_none(there),
            days=day - night.night_of,
            until=night_bounds_utc(night.night_of, zone_or_utc(site.zone))[1],
            keeps_moments=day == night.night_of and night.started_utc is not None,
        )
        remarks = _words(move, night, there)
        entries = list(_hanging_on(session, night))
        _move_times(entries, move, now)
        night.site_id, night.night_of = there.id, day
        _give_site(entries, site, there)
        if move.keeps_moments:
            _refuse_outside(entries, night, there)
        _look_again(entries, there, sure=sure)
        session.flush()
        return MovedNight(night_page(session, night, there), remarks + list(dict.fromkeys(move.remarks)))


def _refuse_taken(session: Session, night: Night, there: Site, day: date) -> None:
    others = select(Night).where(Night.site_id == there.id, Night.id != night.id)
    if session.scalar(others.where(Night.night_of == day)) is not None:
        raise NightThere(day, there.name)
    opened = session.scalar(others.where(Night.open)) if night.open else None
    if opened is not None:
        raise OpenNightThere(opened.night_of, there.name)


def _words(move: _Move, night: Night, there: Site) -> list[str]:
    """What becomes of the times, where the clocks of the two sites differ."""
    if move.old == move.new or night.started_utc is None:
        return [] if move.old == move.new else ["The times of day stay as they were typed."]
    if not move.keeps_moments:
        return ["The times of day stay as they were."]
    was, is_now = shown_local(night.started_utc, move.old), shown_local(night.started_utc, move.new)
    return [f"The moments stay as they were recorded: {was} is {is_now} by the clocks of {there.name}."]


def _hanging_on(session: Session, night: Night) -> Iterator[Entry]:
    """The night and all records of it that have times."""
    yield night
    yield from session.scalars(select(SkyReading).where(SkyReading.night_id == night.id))
    yield from session.scalars(select(Observation).where(Observation.night_id == night.id))
    setups = list(session.scalars(select(Setup).where(Setup.night_id == night.id)))
    yield from setups
    keys = [setup.id for setup in setups]
    yield from session.scalars(select(Arrival).where(Arrival.setup_id.in_(keys)))
    yield from session.scalars(select(Snag).where(Snag.setup_id.in_(keys)))
    yield from session.scalars(select(Tick).where(Tick.setup_id.in_(keys)))


def _move_times(entries: list[Entry], move: _Move, now: datetime) -> None:
    """Move every instant of the entries; a snag that was mended after the night was still mended then."""
    for entry in entries:
        for name in _TIMES[type(entry)]:
            instant: datetime | None = getattr(entry, name)
            if instant is not None and not (name == "fixed_utc" and instant >= move.until):
                setattr(entry, name, not_in_future(move.of(instant), now))


_TIMES: dict[type, tuple[str, ...]] = {
    Night: ("started_utc", "ended_utc"),
    Setup: ("started_utc", "ended_utc", "pier_side_since_utc"),
    Snag: ("at_utc", "fixed_utc"),
    **dict.fromkeys((Arrival, Observation, Tick, SkyReading), ("at_utc",)),
}


def _give_site(entries: list[Entry], site: Site, there: Site) -> None:
    """What was noted of the old site is of the new one."""
    for entry in entries:
        if isinstance(entry, Snag | Tick) and entry.site_id == site.id:
            entry.site_id = there.id


def _refuse_outside(entries: list[Entry], night: Night, there: Site) -> None:
    """Raises OutsideNight where by the clocks of the new site an entry is of another night."""
    zone = zone_or_none(there)
    for entry in entries:
        if (
            isinstance(entry, Arrival | Observation)
            and zone
            and night_of(entry.at_utc, zone) != night.night_of
        ):
            raise OutsideNight(entry.at_utc, night.night_of)


def _look_again(entries: list[Entry], there: Site, *, sure: bool) -> None:
    """Work out anew how high things stood; one below the horizon is questioned."""
    question: Callable[..., object] = (lambda *_: None) if sure else question_altitude
    for entry in entries:
        if not isinstance(entry, Arrival | Observation):
            continue
        target = target_named(entry.target)
        if isinstance(entry, Arrival):
            target = placed_target(target, entry)
        else:
            entry.alt_deg = altitude_deg(target, entry.at_utc, there)
        question(target, entry.at_utc, there)
