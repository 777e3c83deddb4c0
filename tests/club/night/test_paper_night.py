"""A page from paper is tried line by line, keeps nothing until it is saved, and costs the same for every line."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import event, func, select

from obslog.club.night import paper_night
from obslog.club.night.night_pages import list_nights
from obslog.club.night.paper_night import (
    NoSetupOnPage,
    PaperPage,
    TwiceOnPage,
    order_remark,
    read_back,
    read_line,
    save,
    site_named,
    try_line,
    try_page,
)
from obslog.club.night.plausibility import BelowHorizon
from obslog.club.register import named_records
from obslog.club.register.observing_site import SiteWithoutZone
from obslog.club.register.undo import undo
from obslog.errors import UnknownName, WrongInput
from obslog.records.opening import Database
from obslog.records.tables.logbook_tables import Arrival, Night, Observation, Setup
from obslog.vocabulary import PierSide, Sighting, Vision

PAGE = PaperPage(site="Mill Field", night=date(2026, 3, 1), mount="Heron", tube="Long tube", observer="Ines")


def page_of(database: Database, now: datetime, *lines: str, page: PaperPage = PAGE) -> PaperPage:
    """The page with these lines, each tried."""
    for line in lines:
        page = try_line(database, page, read_line(line), now)
    return page


def on_record(database: Database) -> dict[str, int]:
    with database.read() as session:
        return {
            table.__name__: session.scalar(select(func.count()).select_from(table)) or 0
            for table in (Night, Setup, Arrival, Observation)
        }


@contextmanager
def statements(database: Database) -> Iterator[list[str]]:
    """The statements that reach the database meanwhile."""
    heard: list[str] = []

    def hear(_connection: object, _cursor: object, statement: str, *_: object) -> None:
        heard.append(statement)

    event.listen(database.engine, "before_cursor_execute", hear)
    yield heard
    event.remove(database.engine, "before_cursor_execute", hear)


def test_trying_keeps_nothing_and_saving_keeps_everything(club: Database, now: datetime) -> None:
    page = page_of(club, now, "20:30 sync Regulus 3E 2N", "20:40 saw M 44; a swarm", "20:50 goto M 81 edge")
    back = read_back(club, page, now)
    assert on_record(club) == {"Night": 0, "Setup": 0, "Arrival": 0, "Observation": 0}
    assert save(club, page, now) == back
    assert on_record(club) == {"Night": 1, "Setup": 1, "Arrival": 2, "Observation": 1}
    assert [(o.target, o.description, o.observer) for o in back.observations] == [("M 44", "a swarm", "Ines")]
    assert not back.night.open
    undo(club, now)
    assert on_record(club) == {"Night": 0, "Setup": 0, "Arrival": 0, "Observation": 0}


def test_a_refused_line_leaves_the_page_as_it_was(club: Database, now: datetime) -> None:
    """Antares, RA 16 h 29 min, is at an hour angle of nearly 14 h at 20:00 on 1 March: below the horizon."""
    page = page_of(club, now, "20:30 sync Regulus")
    with pytest.raises(BelowHorizon):
        try_line(club, page, read_line("20:00 saw Antares"), now)
    assert [tried.target for tried in page.lines] == ["Regulus"]
    assert len(page_of(club, now, "20:00 saw Antares !", page=page).lines) == 2


def test_every_line_costs_the_same_however_long_the_page_is(sqlite_club: Database, now: datetime) -> None:
    page, costs = PAGE, []
    for number in range(40):
        verb = ("sync Regulus 1E", "saw M 44; a swarm")[number % 2]
        with statements(sqlite_club) as heard:
            page = page_of(sqlite_club, now, f"20:{number + 10} {verb}", page=page)
        costs.append(len(heard))
    assert costs[2:4] == costs[-2:]


def test_a_page_is_written_once_to_be_read_back_and_once_to_be_saved(
    sqlite_club: Database, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    written: list[str] = []
    write_line = paper_night._write_line

    def note_and_write(session: Any, begun: Any, line: Any, when: datetime) -> Any:
        written.append(line.at)
        return write_line(session, begun, line, when)

    monkeypatch.setattr(paper_night, "_write_line", note_and_write)
    for lines in (5, 10):
        written.clear()
        day = replace_night(PAGE, date(2026, 2, lines))
        page = page_of(sqlite_club, now, *(f"21:{n + 10} saw M 44" for n in range(lines)), page=day)
        read_back(sqlite_club, page, now)
        save(sqlite_club, page, now)
        assert len(written) == 3 * lines


def replace_night(page: PaperPage, night: date) -> PaperPage:
    return PaperPage(site=page.site, night=night, mount=page.mount, observer=page.observer)


def test_an_arrival_written_twice_is_refused_and_an_observation_is_remarked(
    club: Database, now: datetime
) -> None:
    page = page_of(club, now, "20:30 sync alf Leo 3E", "20:40 saw M 44", "20:40 saw M 44; again")
    with pytest.raises(TwiceOnPage, match="sync of Regulus at 20:30"):
        try_line(club, page, read_line("20:30 sync Regulus"), now)
    page = page_of(club, now, "20:30 check Regulus", "20:31 sync Regulus", page=page)
    assert len(page.lines) == 5
    (remark,) = read_back(club, page, now).remarks
    assert "on record already for the same minute" in remark


def test_what_comes_before_the_line_above_is_remarked(club: Database, now: datetime) -> None:
    page = page_of(club, now, "23:50 saw M 44", "00:10 saw M 81")
    assert order_remark(page) is None
    assert "23:40 is before 00:10" in str(order_remark(page_of(club, now, "23:40 saw M 82", page=page)))


def test_a_page_needs_names_on_record_and_a_mount_for_arrivals(club: Database, now: datetime) -> None:
    with pytest.raises(UnknownName, match="Heroon"):
        try_page(club, PaperPage(site="Mill Field", night=date(2026, 3, 1), mount="Heroon"), now)
    by_eye = PaperPage(site="Mill Field", night=date(2026, 3, 1))
    assert try_page(club, by_eye, now) == by_eye
    with pytest.raises(NoSetupOnPage):
        try_line(club, by_eye, read_line("20:30 sync Regulus"), now)
    assert list_nights(club) == []


def test_a_beginning_that_is_not_on_the_paper_is_unknown(club: Database, now: datetime) -> None:
    later = now + timedelta(hours=20)
    page = save(club, page_of(club, later, "20:30 sync Regulus"), later).setup
    assert page is not None
    assert page.started == ""


def test_a_site_is_named_as_on_record(club: Database, now: datetime) -> None:
    assert site_named(club, "mill  field") == "Mill Field"
    named_records.add(club, "site", "Somewhere", {}, now)
    with pytest.raises(SiteWithoutZone):
        site_named(club, "Somewhere")


def test_a_line_of_the_page_says_what_a_quick_verb_says(club: Database, now: datetime) -> None:
    page = page_of(
        club, now, "20:30 sy Regulus 3,5E 2N pw by bram ostler; thin cloud",
        "20:40 saw M 44 averted 40x by Ines; a swarm", "20:45 su M 81 5 stars", "20:50 saw my pair; close !",
    )  # fmt: skip
    back = read_back(club, page, now)
    assert back.setup is not None
    (arrival,) = back.setup.arrivals
    assert (arrival.offset, arrival.pier_side, arrival.note) == ("3.5E 2.0N", PierSide.WEST, "thin cloud")
    assert [(o.target, o.sighting, o.vision, o.observer, o.description) for o in back.observations] == [
        ("M 44", Sighting.SEEN, Vision.AVERTED, "Ines", "a swarm"),
        ("M 81", Sighting.SUSPECTED, None, "Ines", "5 stars"),
        ("my pair", Sighting.SEEN, None, "Ines", "close"),
    ]


@pytest.mark.parametrize(
    "line", ["20:50 saw my pair; close", "20:50 saw Sombrerro glow", "20:50 goto M 81 egde"]
)
def test_a_line_that_names_nothing_known_leaves_the_page_as_it_was(
    club: Database, now: datetime, line: str
) -> None:
    with pytest.raises(WrongInput):
        page_of(club, now, line)
