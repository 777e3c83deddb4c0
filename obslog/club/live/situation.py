"""The set-up that is going on, as its answers need it: its arrivals with their places, and the mount's record."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

import numpy as np
from sqlalchemy.orm import Session

from obslog.club.checklist.look_first import LookFirst
from obslog.club.live.kept_record import kept_record
from obslog.club.night.open_night import Where
from obslog.club.night.setups import arrivals_in_order
from obslog.club.performance.arrival_columns import arrival_columns
from obslog.club.performance.placed_arrivals import NothingPlaced, placed
from obslog.club.performance.snapshot import Snapshot
from obslog.club.register.observing_site import ObservingSite, view_from, zone_or_none, zone_or_utc
from obslog.pointing.joint_fit.arrivals import Arrivals, Machine
from obslog.pointing.model.frames import IntArray
from obslog.pointing.model.geometry import StarPlaces
from obslog.pointing.tonight.mount_record import MountRecord
from obslog.records.tables.logbook_tables import Arrival, Tube
from obslog.times import night_of

STARS_HOLD = timedelta(minutes=10)
"""For so long the stars stand as they did: the next one to sync on is not chosen anew with every line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NextStar:
    """The star to sync on next: where it stands, within what half of the go-tos then land, and where that is so, from
    when stars are seen at all and why it is not the next one of the plan, in words."""

    where: str
    half_arcmin: float
    from_when: str = ""
    instead: str = ""


@dataclass(slots=True)
class LiveMemory:
    """What a running program remembers between two lines of one evening; begin one and hand it in each time."""

    records: dict[UUID, MountRecord] = field(default_factory=dict)
    look_first: dict[UUID, list[LookFirst]] = field(default_factory=dict)
    next_stars: dict[object, NextStar | None] = field(default_factory=dict)
    fields: dict[object, list[tuple[float, str]]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Situation:
    """A set-up at an instant. `numbers` are those by which people name the arrivals whose places are known.

    `arrivals` is None where nothing of it can be computed: the site's place or the mount's kind is not on record.
    """

    where: Where
    now: datetime
    view: ObservingSite | None
    zone: ZoneInfo | None
    on_record: list[Arrival]
    machine: Machine | None
    record: MountRecord | None
    arrivals: Arrivals | None
    numbers: IntArray

    @property
    def hour(self) -> object:
        """What stays the same for some minutes: the stars hardly move meanwhile."""
        return self.where.setup.id, int(self.now.timestamp() // STARS_HOLD.total_seconds())

    def arrival(self, place: int) -> Arrival:
        """The record of the arrival at that place of `arrivals`."""
        return self.on_record[int(self.numbers[place]) - 1]


def situation_of(session: Session, where: Where, now: datetime, memory: LiveMemory) -> Situation:
    """The situation of a set-up, read and placed."""
    snapshot = Snapshot(session)  # before any row is read
    on_record = arrivals_in_order(session, where.setup.id)
    now = _moment(where, on_record, now)
    view = view_from(where.site) if where.site.lat_deg is not None and where.site.zone else None
    machine = snapshot.mounts[where.mount.id].machine
    placed_now, numbers = _placed(session, snapshot, where) if machine and view else (None, _none())
    record = None
    if machine is not None:
        record = memory.records.get(where.setup.id)
        if record is None:
            record = kept_record(snapshot, where.mount.id, where.setup.tube_id, where.setup.id)
            memory.records[where.setup.id] = record
    return Situation(
        where=where,
        now=now,
        view=view,
        zone=zone_or_none(where.site),
        on_record=on_record,
        machine=machine,
        record=record,
        arrivals=placed_now,
        numbers=numbers,
    )


def _moment(where: Where, on_record: list[Arrival], now: datetime) -> datetime:
    """Now, while its night lasts; of a night that is over the last moment of which something is on record."""
    if night_of(now, zone_or_utc(where.site.zone)) == where.night.night_of:
        return now
    return on_record[-1].at_utc if on_record else where.setup.started_utc or now


def _placed(session: Session, snapshot: Snapshot, where: Where) -> tuple[Arrivals | None, IntArray]:
    """The set-up's arrivals with the places of their stars, and their numbers; those of unknown places left out."""
    night = where.night.night_of
    columns = arrival_columns(session, where.mount.id, (night, night))
    here = np.array([row.id == where.setup.id for row in columns.setups], bool)
    mine = columns.where(here[columns.setup]) if columns.setup.size else columns
    tube = where.setup.tube_id
    try:
        found = placed(
            snapshot.mounts[where.mount.id], (tube, snapshot.tubes[tube] if tube else None), mine, {}, {}
        )
    except NothingPlaced:
        return None, _none()
    return found.arrivals, found.numbers


def _none() -> IntArray:
    return np.zeros(0, dtype=np.int64)


def no_arrivals() -> Arrivals:
    """Of a set-up of which nothing is on record yet."""
    nothing = np.zeros(0)
    return Arrivals(
        stars=StarPlaces(nothing, nothing, nothing, nothing, np.zeros(0, dtype=np.bool_)),
        setup=_none(),
        is_sync=np.zeros(0, dtype=np.bool_),
        offset_east_arcmin=nothing,
        offset_north_arcmin=nothing,
        centring_arcmin=nothing,
    )


def tube_in_use(session: Session, where: Where) -> Tube | None:
    """The tube of the set-up."""
    return session.get(Tube, where.setup.tube_id) if where.setup.tube_id else None
