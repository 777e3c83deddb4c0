"""A page from paper tried as it is typed, and saved as one act.

While somebody types, nothing is kept and nobody else has to wait: a part is tried in a transaction of its own, on the
night and the set-up that it belongs to, and taken back. What lines could say twice is looked at on the page itself, so
that a long page costs no more for each line than a short one.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from sqlalchemy.orm import Session

from obslog.club.night.night_pages import NightPage, night_page
from obslog.club.night.nights import finish_night
from obslog.club.night.observation_lines import ObservationLine, observation_lines
from obslog.club.night.open_night import Where
from obslog.club.night.setups import SetupPage, question_order, setup_page
from obslog.club.night.snags import SnagLine
from obslog.club.paper.page import FLIP, NightHeading, NothingOnPage, PaperPage, SetupHead
from obslog.club.paper.page_writing import Begun, begin_page, set_up, start_of, write_line
from obslog.club.register.observing_site import zone_of
from obslog.grammar.lines import Line
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Site


class _NothingKept(Exception):
    """Takes back what was only tried."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadBack:
    """The night as it goes on record, to be read over, and what should be said about it. `setup` is the first."""

    night: NightPage
    setup: SetupPage | None
    setups: list[SetupPage]
    observations: list[ObservationLine]
    snags: list[SnagLine]
    remarks: list[str]


def site_named(database: Database, name: str) -> str:
    """The site's name as on record. Raises UnknownName, SiteWithoutZone."""
    with database.read() as session:
        site = by_name(session, Site, name)
        zone_of(site)
        return site.name


def zone_at(database: Database, name: str) -> ZoneInfo:
    """The zone of a site's clocks. Raises UnknownName, SiteWithoutZone."""
    with database.read() as session:
        return zone_of(by_name(session, Site, name))


def try_heading(database: Database, heading: NightHeading, now: datetime) -> NightHeading:
    """The heading itself, where it can go on record; nothing is kept. Raises whatever saving would."""
    with _taken_back(database, now) as session:
        begin_page(session, heading, now)
    return heading


def try_setup(database: Database, page: PaperPage, head: SetupHead, now: datetime) -> SetupHead:
    """The set-up itself, where it can go on record behind what the page has; nothing is kept.

    Raises whatever saving would; BeginsBefore where it begins before one of the same mount above it, and is not sure.
    """
    with _taken_back(database, now) as session:
        begun = begin_page(session, page.heading, now)
        started = start_of(begun, head, now)
        if started is not None and head.mount is not None and not head.is_sure and page.parts:
            begun = _parts_written(session, begun, page, now)
            question_order(session, (begun.night, begun.site), head.mount, started)
        set_up(session, begun, head, now)
    return head


def try_line(database: Database, page: PaperPage, line: Line, now: datetime) -> PaperPage:
    """The page with one more line, where it can go on record; nothing is kept. Raises whatever saving would."""
    with _taken_back(database, now) as session:
        begun = set_up(session, begin_page(session, page.heading, now), page.setup, now)
        flips = [above.line for above in page.lines_of_setup if above.line.verb == FLIP]
        for flip in flips[-1:]:  # the sides of arrivals hang on it
            write_line(session, begun, flip, now, [])
        tried, _ = write_line(session, begun, line, now, [])
    return page.with_part(tried)


def read_back(database: Database, page: PaperPage, now: datetime) -> ReadBack:
    """What saving the page would put on record; nothing is kept. Raises whatever saving would."""
    with _taken_back(database, now) as session:
        return _write(session, page, now)


def save(database: Database, page: PaperPage, now: datetime) -> ReadBack:
    """Put the page on record as one act, which one `undo` takes back. Raises NothingOnPage."""
    with database.write(now, f"type up the night of {page.heading.night} at {page.heading.site}") as session:
        return _write(session, page, now)


@contextmanager
def _taken_back(database: Database, now: datetime) -> Iterator[Session]:
    """A transaction of which nothing is kept."""
    try:
        with database.write(now) as session:
            yield session
            raise _NothingKept
    except _NothingKept:
        return


def _parts_written(session: Session, begun: Begun, page: PaperPage, now: datetime) -> Begun:
    """The night with all that the page has so far, to be taken back."""
    for part in page.parts:
        if isinstance(part, SetupHead):
            begun = set_up(session, begun, part, now)
        else:
            write_line(session, begun, part.line, now, [])
    return begun


def _write(session: Session, page: PaperPage, now: datetime) -> ReadBack:
    if page.is_blank:
        raise NothingOnPage
    begun = begin_page(session, page.heading, now)
    setups: list[Where] = []
    remarks: list[str] = []
    snags: list[SnagLine] = []
    for part in page.parts:
        if isinstance(part, SetupHead):
            begun = set_up(session, begun, part, now)
            setups += [begun.where] if begun.where else []
        else:
            _, said = write_line(session, begun, part.line, now, snags)
            remarks += said
    finish_night(session, begun.night, begun.site, now)
    pages = [setup_page(session, where) for where in setups]
    return ReadBack(
        night=night_page(session, begun.night, begun.site),
        setup=pages[0] if pages else None,
        setups=pages,
        observations=[line for _, line in observation_lines(session, begun.night, begun.site)],
        snags=snags,
        remarks=list(dict.fromkeys(remarks)),
    )
