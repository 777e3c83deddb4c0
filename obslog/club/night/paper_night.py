"""Typing up a night from paper the next morning: each line is tried as it is typed, and the page is saved as one act.

While somebody types, nothing is kept and nobody else has to wait: a line is tried in a transaction of its own, on the
night and set-up of the page, and taken back. What lines could say twice is looked at on the page itself, so that a
long page costs no more for each line than a short one.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date, datetime

from sqlalchemy.orm import Session

from obslog.club.night.arrivals import ArrivalEntry, arrival_remarks, note_arrival
from obslog.club.night.arrivals import entry_of as arrival_of
from obslog.club.night.night_pages import NightPage, night_page
from obslog.club.night.nights import begin_night, finish_night
from obslog.club.night.observations import (
    ObservationEntry,
    ObservationLine,
    ObservingPlace,
    note_observation,
    observation_lines,
)
from obslog.club.night.observations import entry_of as observation_of
from obslog.club.night.open_night import Where, instant_in_night
from obslog.club.night.setups import SetupPage, begin_setup, setup_page
from obslog.club.night.sky_readings import read_sky
from obslog.club.night.solar_questions import caution_at
from obslog.club.register.names_on_record import names_in
from obslog.club.register.observing_site import zone_of
from obslog.errors import WrongInput
from obslog.grammar import lines
from obslog.grammar.arrival_words import read_arrival
from obslog.grammar.observation_words import read_observation
from obslog.records.name_lookup import by_name
from obslog.records.opening import Database
from obslog.records.tables.logbook_tables import Night, Site
from obslog.vocabulary import Role, Sighting

SIGHTINGS = {"saw": Sighting.SEEN, "suspected": Sighting.SUSPECTED, "not-seen": Sighting.NOT_SEEN}
VERBS = (*(role.value for role in Role), *SIGHTINGS)


class UnreadableLine(WrongInput):
    def __init__(self, text: str) -> None:
        super().__init__(
            f"{text!r} is not a line of a night.",
            f"Write: TIME VERB NAME, then where it stood or ; and words. Verbs: {', '.join(VERBS)}.",
        )


class NoSetupOnPage(WrongInput):
    def __init__(self, verb: str) -> None:
        super().__init__(
            f"A {verb} belongs to a mount, and none was named above.", "Use saw, or begin again with a mount."
        )


class TwiceOnPage(WrongInput):
    def __init__(self, line: "PaperLine") -> None:
        super().__init__(
            f"The {line.verb} of {' '.join(line.words)} at {line.at} is on the page already.",
            "Give the line another time, or leave it out.",
        )


class _NothingKept(Exception):
    """Takes back what was only tried."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperLine:
    """One line of the page: `21:05 saw M 81; oval glow`. `sure` where it ends in an exclamation mark."""

    at: str
    verb: str
    words: tuple[str, ...]
    text: str | None
    sure: bool


@dataclass(frozen=True, slots=True)
class TriedLine:
    """A line that can go on record: at what instant, and of which target."""

    line: PaperLine
    at_utc: datetime
    target: str

    def says_the_same_arrival(self, other: "TriedLine") -> bool:
        return (self.at_utc, self.line.verb, self.target) == (other.at_utc, other.line.verb, other.target)


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperPage:
    """A night as it stands on paper, in the order of the paper."""

    site: str
    night: date
    present: tuple[str, ...] = ()
    sky: tuple[str, ...] = ()
    note: str | None = None
    mount: str | None = None
    tube: str | None = None
    eyepiece: str | None = None
    observer: str | None = None
    started_at: str | None = None
    lines: tuple[TriedLine, ...] = ()


@dataclass(frozen=True, slots=True)
class ReadBack:
    """The night as it goes on record, to be read over, and what should be said about it."""

    night: NightPage
    setup: SetupPage | None
    observations: list[ObservationLine]
    remarks: list[str]


@dataclass(frozen=True, slots=True)
class _OpenPage:
    """The page's night and set-up, begun within a transaction."""

    page: PaperPage
    night: Night
    site: Site
    where: Where | None


def site_named(database: Database, name: str) -> str:
    """The site's name as on record. Raises UnknownName, SiteWithoutZone."""
    with database.read() as session:
        site = by_name(session, Site, name)
        zone_of(site)
        return site.name


def read_line(text: str) -> PaperLine:
    """A line of the page. Raises UnreadableLine, UnknownVerb."""
    try:
        line = lines.read_line(text, VERBS)
    except lines.EmptyLine:
        raise UnreadableLine(text) from None
    if line.at is None or not line.words:
        raise UnreadableLine(text)
    return PaperLine(at=line.at, verb=line.verb, words=line.words, text=line.text, sure=line.sure)


def try_page(database: Database, page: PaperPage, now: datetime) -> PaperPage:
    """The page itself, where its night and set-up can be begun so; nothing is kept. Raises whatever saving would."""
    with _taken_back(database, now) as session:
        _begin(session, page, now)
    return page


def try_line(database: Database, page: PaperPage, line: PaperLine, now: datetime) -> PaperPage:
    """The page with one more line, where it can go on record; nothing is kept. Raises whatever saving would."""
    with _taken_back(database, now) as session:
        tried, _ = _write_line(session, _begin(session, page, now), line, now)
    if line.verb not in SIGHTINGS and any(tried.says_the_same_arrival(other) for other in page.lines):
        raise TwiceOnPage(line)
    return replace(page, lines=(*page.lines, tried))


def read_back(database: Database, page: PaperPage, now: datetime) -> ReadBack:
    """What saving the page would put on record; nothing is kept. Raises whatever saving would."""
    with _taken_back(database, now) as session:
        return _write(session, page, now)


def save(database: Database, page: PaperPage, now: datetime) -> ReadBack:
    """Put the page on record as one act, which one `undo` takes back."""
    with database.write(now, f"type up the night of {page.night} at {page.site}") as session:
        return _write(session, page, now)


def order_remark(page: PaperPage) -> str | None:
    """Says so where the last line's time comes before that of the line above it."""
    if len(page.lines) < 2 or page.lines[-1].at_utc >= page.lines[-2].at_utc:
        return None
    above, last = page.lines[-2].line, page.lines[-1].line
    return f"{last.at} is before {above.at} in the line above; it is kept in the order of time."


@contextmanager
def _taken_back(database: Database, now: datetime) -> Iterator[Session]:
    """A transaction of which nothing is kept."""
    try:
        with database.write(now) as session:
            yield session
            raise _NothingKept
    except _NothingKept:
        return


def _write(session: Session, page: PaperPage, now: datetime) -> ReadBack:
    begun = _begin(session, page, now)
    remarks = [r for tried in page.lines for r in _write_line(session, begun, tried.line, now)[1]]
    finish_night(session, begun.night, begun.site, now)
    return ReadBack(
        night_page(session, begun.night, begun.site),
        setup_page(session, begun.where) if begun.where else None,
        [line for _, line in observation_lines(session, begun.night, begun.site)],
        list(dict.fromkeys(remarks)),
    )


def _begin(session: Session, page: PaperPage, now: datetime) -> _OpenPage:
    night, site = begin_night(
        session, page.site, now, night=page.night, present=page.present,
        sky=[read_sky(text) for text in page.sky], note=page.note,
    )  # fmt: skip
    if page.mount is None:
        return _OpenPage(page, night, site, None)
    started = None if page.started_at is None else instant_in_night(page.started_at, night, site, now)
    where = begin_setup(
        session, (night, site), page.mount, started,
        tube=page.tube, observer=page.observer, eyepiece=page.eyepiece,
    )  # fmt: skip
    return _OpenPage(page, night, site, where)


def _write_line(
    session: Session, begun: _OpenPage, line: PaperLine, now: datetime
) -> tuple[TriedLine, list[str]]:
    """One line put on record, within a transaction, and what should be said about it."""
    page, where, names = begun.page, begun.where, names_in(session)
    if line.verb in SIGHTINGS:
        place = ObservingPlace(begun.night, begun.site, where.setup if where else None)
        seen = read_observation(
            line.words, sighting=SIGHTINGS[line.verb], text=line.text, as_written=line.sure, names=names
        )
        thing = seen.target
        entry = observation_of(seen, ObservationEntry(at=line.at))
        if entry.eyepiece is None:
            entry = replace(entry, eyepiece=page.eyepiece)
        record, remarks = note_observation(
            session, place, thing, entry, now, observer=seen.observer or page.observer, sure=line.sure
        )
        return TriedLine(line, record.at_utc, record.target), _with_caution(
            remarks, caution_at(thing, record.at_utc, begun.site)
        )
    if where is None:
        raise NoSetupOnPage(line.verb)
    said = read_arrival(line.words, note=line.text, as_written=line.sure, names=names)
    target, arrived = said.target, arrival_of(said, ArrivalEntry(at=line.at))
    arrival = note_arrival(session, where, Role(line.verb), target, arrived, now, sure=line.sure)
    caution = caution_at(target, arrival.at_utc, where.site)
    tried = TriedLine(line, arrival.at_utc, arrival.target)
    return tried, _with_caution(arrival_remarks(target, arrived), caution)


def _with_caution(remarks: list[str], caution: str | None) -> list[str]:
    return [f"CAUTION. {caution}", *remarks] if caution else remarks
