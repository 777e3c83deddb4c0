"""What happened in a night, in order of time."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.night.night_pages import WholeNight
from obslog.club.register.observing_site import zone_or_none
from obslog.records.tables.logbook_tables import Mount, Night, Setup, Site
from obslog.times import shown_local
from obslog.vocabulary.arrivals import Role

ROLE_WORDS: dict[str, str] = {Role.SYNC: "sync on", Role.CHECK: "check of", Role.GOTO: "go-to"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Happening:
    """One thing that happened; `at` is by the clocks of the site."""

    at_utc: datetime
    at: str
    what: str


def night_story(session: Session, night: Night, site: Site, whole: WholeNight) -> list[Happening]:
    """Beginnings and ends, what was read, gone to, seen and went wrong; what has no time on record is not among it.

    Where a set-up begins at the instant at which another ends, all that is of the earlier one stands first.
    """
    zone = zone_or_none(site)
    setups = _setups(session, night)
    begun = {(mount, ordinal): started for mount, ordinal, started, _ in setups}
    told = [*_beginnings(night, setups), *_arrivals(whole, begun), *_seen(whole), *_endings(night, setups)]
    turns = set(begun.values())
    timed = [
        ((at, not (at in turns and since is not None and since < at)), what)
        for at, since, what in told
        if at is not None
    ]
    return [
        Happening(at_utc=at, at=shown_local(at, zone), what=what)
        for (at, _), what in sorted(timed, key=lambda one: one[0])
    ]


_Told = Iterator[tuple[datetime | None, datetime | None, str]]
"""When, since when the set-up that it is of, and what."""
_Setups = list[tuple[str, int, datetime | None, datetime | None]]


def _beginnings(night: Night, setups: _Setups) -> _Told:
    yield night.started_utc, None, "the night was begun"
    for mount, ordinal, started, _ in setups:
        yield started, started, f"{mount}, set-up {ordinal}: begun"


def _endings(night: Night, setups: _Setups) -> _Told:
    for mount, ordinal, started, ended in setups:
        yield ended, started, f"{mount}, set-up {ordinal}: ended"
    yield night.ended_utc, None, "the night was ended"


def _setups(session: Session, night: Night) -> _Setups:
    query = (
        select(Mount.name, Setup.ordinal, Setup.started_utc, Setup.ended_utc)
        .join(Mount, Setup.mount_id == Mount.id)
        .where(Setup.night_id == night.id)
        .order_by(Mount.name_key, Setup.ordinal)
    )
    return [(mount, ordinal, begun, ended) for mount, ordinal, begun, ended in session.execute(query)]


def _arrivals(whole: WholeNight, begun: Mapping[tuple[str, int], datetime | None]) -> _Told:
    for setup in whole.setups:
        for line in setup.arrivals:
            landed = line.offset or line.landing
            yield (
                line.at_utc,
                begun.get((setup.mount, setup.setup)),
                f"{setup.mount}: {ROLE_WORDS[line.role]} {line.target}" + (f", {landed}" if landed else ""),
            )


def _seen(whole: WholeNight) -> _Told:
    for reading in whole.page.sky:
        yield reading.at_utc, None, f"sky: {reading.scale} {reading.value:g}"
    for one in whole.observations:
        by = f" by {one.observer}" if one.observer else ""
        yield one.at_utc, None, f"{one.target} {one.sighting}{by}"
    for snag in whole.snags:
        yield snag.at_utc, None, f"snag at {snag.step}: {snag.text}"
