"""A page from paper is tried line by line, keeps nothing until it is saved, and costs the same for every line."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import event, func, select

from obslog.club.night.night_pages import list_nights
from obslog.club.night.plausibility import BelowHorizon
from obslog.club.night.setup_corrections import FlippedSince
from obslog.club.night.setups import BeginsBefore
from obslog.club.paper import page_writing, trials
from obslog.club.paper.page import (
    LineWithoutWords,
    NightHeading,
    NothingOnPage,
    PaperPage,
    SetupHead,
    TwiceOnPage,
    order_remark,
    read_page_line,
)
from obslog.club.paper.page_writing import NoSetupOnPage, WhichSide
from obslog.club.paper.trials import read_back, save, site_named, try_heading, try_line, try_setup
from obslog.club.register import named_records
from obslog.club.register.observing_site import SiteWithoutZone
from obslog.club.register.undo import undo
from obslog.club.routine.routine_loading import load_routine
from obslog.errors import UnknownName, WrongInput
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Arrival, Night, Observation, Setup
from obslog.vocabulary.mounts import PierSide
from obslog.vocabulary.observations import Sighting, Vision
from tests.club.routine.own_step import OWN_STEP

HEADING = NightHeading(site="Mill Field", night=date(2026, 3, 1))
HERON = SetupHead(mount="Heron", tube="Long tube", observer="Ines")
PAGE = PaperPage(heading=HEADING, parts=(HERON,))


def page_of(database: Database, now: datetime, *lines: str, page: PaperPage = PAGE) -> PaperPage:
    """The page with these lines, each tried."""
    for line in lines:
        page = try_line(database, page, read_page_line(line), now)
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
        try_line(club, page, read_page_line("20:00 saw Antares"), now)
    assert [tried.target for tried in page.lines_of_setup] == ["Regulus"]
    assert len(page_of(club, now, "20:00 saw Antares !", page=page).lines_of_setup) == 2


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
    write_line = page_writing.write_line

    def note_and_write(session: Any, begun: Any, line: Any, *rest: Any) -> Any:
        written.append(line.at)
        return write_line(session, begun, line, *rest)

    monkeypatch.setattr(trials, "write_line", note_and_write)
    for lines in (5, 10):
        written.clear()
        day = replace_night(PAGE, date(2026, 2, lines))
        page = page_of(sqlite_club, now, *(f"21:{n + 10} saw M 44" for n in range(lines)), page=day)
        read_back(sqlite_club, page, now)
        save(sqlite_club, page, now)
        assert len(written) == 3 * lines


def replace_night(page: PaperPage, night: date) -> PaperPage:
    return PaperPage(heading=NightHeading(site=page.heading.site, night=night), parts=page.parts)


def test_an_arrival_written_twice_is_refused_and_an_observation_is_remarked(
    club: Database, now: datetime
) -> None:
    page = page_of(club, now, "20:30 sync alf Leo 3E", "20:40 saw M 44", "20:40 saw M 44; again")
    with pytest.raises(TwiceOnPage, match="sync of Regulus at 20:30"):
        try_line(club, page, read_page_line("20:30 sync alf leo 2W pw"), now)
    page = page_of(club, now, "20:30 check Regulus", "20:31 sync Regulus", page=page)
    assert len(page.lines_of_setup) == 5
    (remark,) = read_back(club, page, now).remarks
    assert "on record already for the same minute" in remark


def test_what_comes_before_the_line_above_is_remarked(club: Database, now: datetime) -> None:
    page = page_of(club, now, "23:50 saw M 44", "00:10 saw M 81")
    assert order_remark(page) is None
    assert "23:40 is before 00:10" in str(order_remark(page_of(club, now, "23:40 saw M 82", page=page)))


def test_a_page_needs_names_on_record_and_a_mount_for_arrivals(club: Database, now: datetime) -> None:
    with pytest.raises(UnknownName, match="Heroon"):
        try_setup(club, PaperPage(heading=HEADING), SetupHead(mount="Heroon"), now)
    with pytest.raises(UnknownName, match="Inez"):
        try_setup(club, PaperPage(heading=HEADING), SetupHead(observer="Inez"), now)
    with pytest.raises(UnknownName, match="Inez"):
        try_heading(club, NightHeading(site="Mill Field", night=date(2026, 3, 1), present=("Inez",)), now)
    by_eye = PaperPage(heading=HEADING, parts=(SetupHead(observer="Ines"),))
    with pytest.raises(NoSetupOnPage):
        try_line(club, by_eye, read_page_line("20:30 sync Regulus"), now)
    assert list_nights(club) == []


def test_lines_belong_to_the_set_up_above_them(club: Database, now: datetime) -> None:
    page = page_of(club, now, "20:30 sync Regulus 3E 2N")
    page = page.with_part(
        try_setup(club, PaperPage(heading=HEADING), SetupHead(mount="Heron", observer="Bram Ostler"), now)
    )
    page = page_of(club, now, "22:00 sync Regulus 1W", "22:05 saw M 44", page=page)
    saved = save(club, page, now)
    assert [(p.mount, p.setup, p.observer) for p in saved.setups] == [
        ("Heron", 1, "Ines"),
        ("Heron", 2, "Bram Ostler"),
    ]
    assert [[a.target for a in p.arrivals] for p in saved.setups] == [["Regulus"], ["Regulus"]]
    assert saved.setup == saved.setups[0]
    assert [o.observer for o in saved.observations] == ["Bram Ostler"]


def test_a_snag_stands_on_the_page_with_its_step(club: Database, now: datetime) -> None:
    page = page_of(
        club,
        now,
        "20:25 snag key-in summer time was on",
        "20:30 snag power; battery at 11.2 V",
        "20:40 snag cables trod on; back at once",
    )
    saved = save(club, page, now)
    told = [(s.step, s.text, s.about, s.member, s.site) for s in saved.snags]
    assert told == [
        ("key-in", "summer time was on", "Heron", "Ines", "Mill Field"),
        ("power", "battery at 11.2 V", "Heron", "Ines", "Mill Field"),
        ("cables", "trod on; back at once", "Heron", "Ines", "Mill Field"),
    ]


def test_a_snag_of_the_clubs_own_step_is_typed_up_by_any_beginning(club: Database, now: datetime) -> None:
    load_routine(club, OWN_STEP, "routine.toml", now)
    saved = save(club, page_of(club, now, "20:25 snag dew one was still on"), now)
    assert [(snag.step, snag.text) for snag in saved.snags] == [("dew-heaters", "one was still on")]


def test_a_snag_without_a_mount_is_the_sites(club: Database, now: datetime) -> None:
    page = page_of(club, now, "20:25 snag power no light at the gate", page=PaperPage(heading=HEADING))
    (snag,) = save(club, page, now).snags
    assert (snag.about, snag.site) == (None, "Mill Field")


def test_an_empty_page_is_not_saved(club: Database, now: datetime) -> None:
    with pytest.raises(NothingOnPage):
        save(club, PaperPage(heading=HEADING, parts=(SetupHead(),)), now)
    assert list_nights(club) == []
    cloudy = PaperPage(heading=NightHeading(site="Mill Field", night=date(2026, 3, 1), note="cloud"))
    assert save(club, cloudy, now).night.note == "cloud"


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


def test_arrivals_after_a_flip_are_on_the_side_that_it_says(club: Database, now: datetime) -> None:
    """Regulus, RA 10.1 h, stood east of the meridian at 21:00 on 1 March: the tube is west of the pier."""
    page = page_of(club, now, "20:30 check Procyon", "20:55 flip w", "21:00 sync Regulus 3E 2N")
    back = read_back(club, page, now)
    assert back.setup is not None
    assert [(a.target, a.pier_side) for a in back.setup.arrivals] == [("Procyon", None), ("Regulus", "west")]
    assert (back.setup.pier_side, back.setup.pier_side_since) == ("west", "20:55")
    save(club, page, now)
    with club.read() as session:
        assert session.scalars(select(Arrival.pier_side).order_by(Arrival.at_utc)).all() == [
            None,
            PierSide.WEST,
        ]


@pytest.mark.parametrize(
    ("line", "error"),
    [
        ("20:55 flip", LineWithoutWords),
        ("20:55 flip over", WhichSide),
        ("20:55 flip east; at last", WhichSide),
        ("20:20 flip east", FlippedSince),
    ],
)
def test_a_flip_that_cannot_be_is_refused_as_it_is_typed(
    club: Database, now: datetime, line: str, error: type[Exception]
) -> None:
    page = page_of(club, now, "20:30 flip west")
    with pytest.raises(error):
        page_of(club, now, line, page=page)


def test_a_flip_belongs_to_a_german_mount(club: Database, now: datetime) -> None:
    with pytest.raises(NoSetupOnPage):
        page_of(club, now, "20:30 flip west", page=PaperPage(heading=HEADING))


def test_a_setup_that_begins_before_the_one_above_it_is_questioned(club: Database, now: datetime) -> None:
    first = SetupHead(mount="Heron", started_at="20:10")
    page = page_of(club, now, "21:30 sync Regulus", page=PaperPage(heading=HEADING, parts=(first,)))
    for start, why in (("20:00", "began at 20:10"), ("21:00", "has an entry of 21:30")):
        with pytest.raises(BeginsBefore, match=why):
            try_setup(club, page, SetupHead(mount="Heron", started_at=start), now)
    for start in ("21:40", "21:00!"):
        head = try_setup(club, page, SetupHead(mount="Heron", started_at=start), now)
        assert [setup.started for setup in read_back(club, page.with_part(head), now).setups] == [
            "20:10",
            start.removesuffix("!"),
        ]
    try_setup(club, page, SetupHead(mount="Bracken", started_at="20:00"), now)
