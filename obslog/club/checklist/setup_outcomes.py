"""Occasions: one mount set up on one night by one member, and at which steps something went wrong there.

What nobody said anything of counts as gone well, so that rates lean to the low side.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from typing import Any, NamedTuple
from uuid import UUID

from sqlalchemy import Select, select
from sqlalchemy.orm import Session

from obslog.club.checklist.first_stars import Beginnings
from obslog.club.register.observing_site import zone_or_utc
from obslog.records.lean_reading import bare, columns_of, days_of, instant_of, keys_of
from obslog.records.tables.logbook_tables import Night, Setup, Site, Snag, Tick
from obslog.times import night_of
from obslog.trends.series.forgetting_rates import FORGOTTEN_DAYS
from obslog.vocabulary.mistakes import Cause, SetupFault
from obslog.vocabulary.steps import Step, StepKey


@dataclass(frozen=True, slots=True)
class Wrong:
    """What went wrong at a step, in words; `cause` where one of the known mistakes explains it."""

    text: str
    cause: Cause | SetupFault | None = None
    remedy: str | None = None


@dataclass(slots=True, kw_only=True)
class Occasion:
    """One mount, one night, one member; None where that is not on record. `wrong` keeps the last word at each step.

    `former` is one with the mount as it is no longer: before its last mechanical service, or with another of several
    tubes than it has now, which `with_tube` tells of the others.
    """

    night_of: date
    mount_id: UUID | None
    member_id: UUID | None
    site_id: UUID | None
    setup_ids: list[UUID] = field(default_factory=list)
    wrong: dict[StepKey, Wrong] = field(default_factory=dict)
    former: bool = False
    with_tube: str = ""


class Occasions:
    """The club's occasions up to a night, as far back as they count: by set-up, or by day."""

    def __init__(self, session: Session, until: date) -> None:
        self.since, self.until = until - timedelta(days=FORGOTTEN_DAYS), until
        zones = session.execute(select(Site.id, Site.zone))
        self._zones = {key: zone_or_utc(zone) for key, zone in zones}
        self._by_setup: dict[UUID, Occasion] = {}
        self._by_day: dict[date, list[Occasion]] = defaultdict(list)
        self._by_told: dict[tuple[date, UUID | None, UUID | None, UUID | None], Occasion] = {}
        keys = (Night.night_of, Setup.id, Setup.mount_id, Setup.member_id, Night.site_id)
        query = (
            select(*map(bare, keys))
            .join(Night, Setup.night_id == Night.id)
            .where(Night.night_of.between(self.since, until))
            .order_by(Night.night_of, Setup.ordinal)
        )
        nights, setups, *who_and_where = columns_of(session, query)
        for setup_id, day, *told in zip(
            keys_of(setups), days_of(nights), *map(keys_of, who_and_where), strict=True
        ):
            occasion = self._occasion(day, *told)
            occasion.setup_ids.append(setup_id)
            self._by_setup[setup_id] = occasion

    @property
    def long_ago(self) -> datetime:
        """An instant before all of them; nobody needs to read what was written before it."""
        return datetime.combine(self.since - timedelta(days=2), time(), UTC)

    def __iter__(self) -> Iterator[Occasion]:
        return (occasion for day in sorted(self._by_day) for occasion in self._by_day[day])

    def of_setup(self, setup_id: UUID) -> Occasion | None:
        """The occasion of a set-up; None where it is later than the night asked about, or long forgotten."""
        return self._by_setup.get(setup_id)

    def concerned(self, record: "WhereItBelongs") -> Occasion | None:
        """The occasion a snag or tick belongs to: its set-up's, or one of its day that agrees; else one of its own."""
        if record.setup_id is not None:
            return self.of_setup(record.setup_id)
        day = self._night_of(instant_of(record.at_utc), record.site_id)
        if not self.since <= day <= self.until:
            return None
        told = (record.mount_id, record.member_id, record.site_id)
        for known in self._by_day[day]:
            there = (known.mount_id, known.member_id, known.site_id)
            if all(one is None or one == other for one, other in zip(told, there, strict=True)):
                return known
        return self._occasion(day, *told)

    def _occasion(
        self, day: date, mount_id: UUID | None, member_id: UUID | None, site_id: UUID | None
    ) -> Occasion:
        told = (day, mount_id, member_id, site_id)
        if told not in self._by_told:
            made = Occasion(night_of=day, mount_id=mount_id, member_id=member_id, site_id=site_id)
            self._by_told[told] = made
            self._by_day[day].append(made)
        return self._by_told[told]

    def _night_of(self, at_utc: datetime, site_id: UUID | None) -> date:
        zone = self._zones.get(site_id) if site_id else None
        return night_of(at_utc, zone or zone_or_utc(None))


class WhereItBelongs(NamedTuple):
    """What a snag or a tick says of where it belongs; the instant as the driver gives it, for most need none."""

    setup_id: UUID | None
    mount_id: UUID | None
    member_id: UUID | None
    site_id: UUID | None
    at_utc: str | datetime


def note_snags(session: Session, occasions: Occasions) -> None:
    """What snags say; of several at one step of one occasion the last."""
    belongs = (Snag.setup_id, Snag.equipment_id, Snag.member_id, Snag.site_id, Snag.at_utc)
    query = (
        select(*map(bare, (*belongs, Snag.step, Snag.text, Snag.remedy)))
        .where(Snag.at_utc > occasions.long_ago)
        .order_by(Snag.at_utc, Snag.id)
    )
    for told, step, text, remedy in _told(session, query):
        occasion = occasions.concerned(told)
        if occasion is not None:
            occasion.wrong[step] = Wrong(text, remedy=remedy)


def note_ticks(session: Session, occasions: Occasions) -> None:
    """What ticks say: a step that did not go well, where no snag says more; any tick makes its day an occasion."""
    belongs = (Tick.setup_id, Tick.mount_id, Tick.member_id, Tick.site_id, Tick.at_utc)
    query = select(*map(bare, (*belongs, Tick.step, Tick.went_well, Tick.value)))
    query = query.where(Tick.at_utc > occasions.long_ago).order_by(Tick.at_utc, Tick.id)
    for told, step, went_well, value in _told(session, query):
        occasion = occasions.concerned(told)
        if occasion is not None and went_well is not None and not went_well:
            occasion.wrong.setdefault(step, Wrong(value or "did not go well"))


def _told(session: Session, query: Select[Any]) -> Iterator[tuple[WhereItBelongs, Any, Any, Any]]:
    """Where each row belongs, from its first five columns, and the three columns after them."""
    *keys, at_utc, first, second, third = columns_of(session, query)
    rows = map(WhereItBelongs, *map(keys_of, keys), at_utc)
    return zip(rows, first, second, third, strict=True)


def note_restarts(begun: Sequence[Beginnings], occasions: Occasions) -> None:
    """An alignment begun anew: a set-up given up after two arrivals at most, of which nothing else is known."""
    short = {setup for mount in begun for setup in mount.short}
    for occasion in occasions:
        if not occasion.wrong and any(key in short for key in occasion.setup_ids[:-1]):
            occasion.wrong[Step.SYNC_STARS] = Wrong("given up and set up again", SetupFault.BEGUN_ANEW)
