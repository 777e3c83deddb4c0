"""Typing up a night from paper the next morning: the whole page is checked as it grows, and saved as one act."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

from obslog.club.night.arrivals import Seen, record_arrival, split_words
from obslog.club.night.nights import NightPage, end_night, read_sky, start_night
from obslog.club.night.observations import ObservationLine, Sight, list_observations, record_observations
from obslog.club.night.open_night import NightChoice, SetupChoice, chosen_setup
from obslog.club.night.setups import SetupPage, show_setup, start_setup
from obslog.club.register.observing_site import zone_of
from obslog.errors import WrongInput
from obslog.records.name_lookup import by_name
from obslog.records.opening import Database, one_transaction
from obslog.records.tables.logbook_tables import Site
from obslog.vocabulary import Role, Sighting

SIGHTINGS = {"saw": Sighting.SEEN, "suspected": Sighting.SUSPECTED, "not-seen": Sighting.NOT_SEEN}
_NOON = "12:00"
VERBS = (*(role.value for role in Role), *SIGHTINGS)
_LINE = re.compile(
    r"^(?P<at>\S+)\s+(?P<verb>\S+)\s+(?P<rest>[^;]+?)\s*(?:;\s*(?P<text>.+?))?\s*(?P<sure>!)?$"
)


class UnreadableLine(WrongInput):
    def __init__(self, text: str) -> None:
        super().__init__(
            f"{text!r} is no line of a night.",
            f"Write: TIME VERB NAME, then where it stood or ; and words. Verbs: {', '.join(VERBS)}.",
        )


class NoSetupOnPage(WrongInput):
    def __init__(self, verb: str) -> None:
        super().__init__(
            f"A {verb} belongs to a mount, and none was named above.", "Use saw, or begin again with a mount."
        )


class _NothingKept(Exception):
    """Takes a rehearsal back."""


@dataclass(frozen=True, slots=True)
class PaperLine:
    """One line of the page: `21:05 saw M 81; oval glow`. `sure` where it ends in an exclamation mark."""

    at: str
    verb: str
    words: tuple[str, ...]
    text: str | None
    sure: bool


@dataclass(frozen=True, slots=True)
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
    lines: tuple[PaperLine, ...] = ()


@dataclass(frozen=True, slots=True)
class ReadBack:
    """The night as it goes on record, to be read over, and what should be said about it."""

    night: NightPage
    setup: SetupPage | None
    observations: list[ObservationLine]
    remarks: list[str]


def site_and_zone(database: Database, name: str) -> tuple[str, ZoneInfo]:
    """The site's name as on record, and its zone. Raises UnknownName, SiteWithoutZone."""
    with database.read() as session:
        site = by_name(session, Site, name)
        return site.name, zone_of(site)


def read_line(text: str) -> PaperLine:
    """A line of the page. Raises UnreadableLine."""
    found = _LINE.match(text.strip())
    if found is None or found["verb"].casefold() not in VERBS:
        raise UnreadableLine(text)
    return PaperLine(
        found["at"],
        found["verb"].casefold(),
        tuple(found["rest"].split()),
        found["text"],
        bool(found["sure"]),
    )


def rehearse(database: Database, page: PaperPage, now: datetime) -> ReadBack:
    """What saving the page would put on record; nothing is kept. Raises whatever saving would."""
    try:
        with one_transaction(database, now, "rehearsal") as inside:
            read_back = _write(inside, page, now)
            raise _NothingKept
    except _NothingKept:
        return read_back


def save(database: Database, page: PaperPage, now: datetime) -> ReadBack:
    """Put the page on record as one act, which one `undo` takes back."""
    with one_transaction(database, now, f"type up the night of {page.night} at {page.site}") as inside:
        return _write(inside, page, now)


def order_remark(lines: Iterable[PaperLine], instants: Iterable[datetime]) -> str | None:
    """Says so where the last line's time comes before that of the line above it."""
    listed, times = list(lines), list(instants)
    if len(times) < 2 or times[-1] >= times[-2]:
        return None
    return f"{listed[-1].at} is before {listed[-2].at} in the line above; it is kept in the order of time."


def _write(database: Database, page: PaperPage, now: datetime) -> ReadBack:
    start_night(
        database, page.site, now, night=page.night, present=page.present,
        sky=[read_sky(text) for text in page.sky], note=page.note,
    )  # fmt: skip
    if page.mount is not None:
        start_setup(
            database, page.mount, now, tube=page.tube, observer=page.observer, eyepiece=page.eyepiece,
            site=page.site, at=page.started_at or _NOON,
        )  # fmt: skip
        if page.started_at is None:
            _forget_beginning(database, page.mount, now)
    remarks = [remark for line in page.lines for remark in _write_line(database, page, line, now)]
    choice = NightChoice(page.site, page.night)
    setup = (
        show_setup(database, SetupChoice(page.mount, page.site, page.night))
        if page.mount is not None
        else None
    )
    seen = list_observations(database, choice)
    night = end_night(database, NightChoice(page.site), now)
    return ReadBack(night, setup, seen, list(dict.fromkeys(remarks)))


def _write_line(database: Database, page: PaperPage, line: PaperLine, now: datetime) -> list[str]:
    if line.verb in SIGHTINGS:
        sight = Sight(SIGHTINGS[line.verb], line.text, eyepiece=page.eyepiece, at=line.at)
        choice = None if page.mount else NightChoice(page.site, page.night)
        return record_observations(
            database, " ".join(line.words), sight, now, observers=[page.observer], mount=page.mount,
            choice=choice, sure=line.sure,
        ).remarks  # fmt: skip
    if page.mount is None:
        raise NoSetupOnPage(line.verb)
    target, where = split_words(list(line.words))
    seen = Seen(target=target, where=where, at=line.at, note=line.text)
    return record_arrival(
        database, Role(line.verb), seen, SetupChoice(mount=page.mount), now, sure=line.sure
    ).remarks


def _forget_beginning(database: Database, mount: str, now: datetime) -> None:
    """When the set-up began is not on the paper: unknown, not noon."""
    with database.write(now) as session:
        chosen_setup(session, SetupChoice(mount)).setup.started_utc = None


def with_line(page: PaperPage, line: PaperLine) -> PaperPage:
    return replace(page, lines=(*page.lines, line))
