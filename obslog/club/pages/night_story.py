"""What happened in a night, in order of time."""

from collections.abc import Iterator
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
    """Beginnings and ends, what was read, gone to, seen and went wrong; what has no time on record is not among it."""
    zone = zone_or_none(site)
    told = [*_beginnings(session, night), *_arrivals(whole), *_seen(whole), *_endings(session, night)]
    return [
        Happening(at_utc=at, at=shown_local(at, zone), what=what)
        for at, what in sorted(((at, what) for at, what in told if at is not None), key=lambda one: one[0])
    ]


_Told = Iterator[tuple[datetime | None, str]]


def _beginnings(session: Session, night: Night) -> _Told:
    yield night.started_utc, "the night was begun"
    for mount, ordinal, started, _ in _setups(session, night):
        yield started, f"{mount}, set-up {ordinal}: begun"


def _endings(session: Session, night: Night) -> _Told:
    for mount, ordinal, _, ended in _setups(session, night):
        yield ended, f"{mount}, set-up {ordinal}: ended"
    yield night.ended_utc, "the night was ended"


def _setups(session: Session, night: Night) -> list[tuple[str, int, datetime | None, datetime | None]]:
    query = (
        select(Mount.name, Setup.ordinal, Setup.started_utc, Setup.ended_utc)
        .join(Mount, Setup.mount_id == Mount.id)
        .where(Setup.night_id == night.id)
        .order_by(Mount.name_key, Setup.ordinal)
    )
    return [(mount, ordinal, begun, ended) for mount, ordinal, begun, ended in session.execute(query)]


def _arrivals(whole: WholeNight) -> _Told:
    for setup in whole.setups:
        for line in setup.arrivals:
            landed = line.offset or line.landing
            yield (
                line.at_utc,
                f"{setup.mount}: {ROLE_WORDS[line.role]} {line.target}" + (f", {landed}" if landed else ""),
            )


def _seen(whole: WholeNight) -> _Told:
    for reading in whole.page.sky:
        yield reading.at_utc, f"sky: {reading.scale} {reading.value:g}"
    for one in whole.observations:
        by = f" by {one.observer}" if one.observer else ""
        yield one.at_utc, f"{one.target} {one.sighting}{by}"
    for snag in whole.snags:
        yield snag.at_utc, f"snag at {snag.step}: {snag.text}"
