"""The page for a successor: each subject has its section, with or without anything in it."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from obslog.club.night.snags import add_snag
from obslog.club.office.handing_over import ForService, handed_over
from obslog.club.register.contacts import set_contact
from obslog.club.register.rule_book import set_rule
from obslog.club.routine.club_routine import RoutineStanding
from obslog.club.storeroom.kits import add_kit
from obslog.club.storeroom.loans import lend
from obslog.club.storeroom.missing import go_missing
from obslog.club.storeroom.waiting_list import reserve
from obslog.club.upkeep.services_due import DueBy, DueService
from obslog.records.database import Database
from obslog.report.pages.content import Bullets, Page, Paragraph, Table
from obslog.report.pages.handover_page import handover_page
from obslog.report.pages.writing import page_html
from obslog.vocabulary.steps import Step

TITLES = [
    "Out", "Missing", "Kits that are not complete", "Broken, or to be looked at", "Services due", "Who waits",
    "Rules that the club has set itself", "The club's routine", "The records", "Where the records lie",
]  # fmt: skip


def test_a_quiet_office_says_so_in_every_section(sqlite_database: Database, now: datetime) -> None:
    page = handover_page(handed_over(sqlite_database, now))
    assert [section.title for section in page.sections] == TITLES
    assert page.lead == "On 2026-03-02: 0 loans out, 0 overdue, 0 items missing, 0 members waiting."
    html = page_html(page)
    for words in (
        "Nothing is out.",
        "No snag about an item is open, and nothing is for service.",
        "Nobody waits.",
        "Nothing is wanting in the records.",
        "obslog db backup FILE",
    ):
        assert words in html


def test_names_stand_there_and_contacts_do_not(club: Database, now: datetime) -> None:
    set_contact(club, "Ines", {"phone": "01632 960 417"}, now)
    lend(club, "Wide 25", "Ines", now - timedelta(days=60))
    for item in ("Wide 25", "Long tube"):
        if item == "Long tube":
            lend(club, item, "Ines", now)
        reserve(club, item, "Bram Ostler", now)
    page = handover_page(handed_over(club, now))
    assert page.lead == "On 2026-03-02: 2 loans out, 1 overdue, 0 items missing, 1 member waiting."
    html = page_html(page)
    assert "Ines" in html
    assert "Bram Ostler" in html
    assert "01632 960 417" not in html


def rows_of(page: Page, title: str) -> list[list[str]]:
    (section,) = [one for one in page.sections if one.title == title]
    (table,) = section.parts
    assert isinstance(table, Table)
    return [list(row) for row in table.rows]


def test_a_loan_is_in_time_due_or_overdue_as_reminders_have_it(club: Database, now: datetime) -> None:
    """Four days late within seven of grace stood as "in time"."""
    set_rule(club, "overdue-out", 7, now)
    today = now.date()
    for item, left in (("Wide 25", 8), ("Stop 20", 7), ("Heron", 0), ("Bracken", -4), ("Thistle", -8)):
        due = today + timedelta(days=left)
        lend(club, item, "Ines", now, on=today - timedelta(days=30), due=due)
    rows = rows_of(handover_page(handed_over(club, now)), "Out")
    assert {row[0]: row[4] for row in rows} == {
        "Wide 25": "in time", "Stop 20": "due soon", "Heron": "due", "Bracken": "due", "Thistle": "overdue",
    }  # fmt: skip


def test_kits_that_are_not_complete_are_counted_as_kits(club: Database, now: datetime) -> None:
    add_kit(club, "Evening kit", ["Wide 25", "Stop 20"], now)
    for eyepiece in ("Wide 25", "Stop 20"):
        go_missing(club, eyepiece, now)
    (section,) = [one for one in handover_page(handed_over(club, now)).sections if one.title == "The records"]
    assert isinstance(section.parts[0], Bullets)
    assert "kits that are not complete: 1 of 1" in section.parts[0].items


def test_what_is_for_service_stands_before_the_snags(club: Database, now: datetime) -> None:
    add_snag(club, Step.LEVEL, "the clamp slips", now, mount="Heron")
    worm = ForService(name="Bracken", kind="mount", since=now.date(), words="damaged when it came back")
    office = replace(handed_over(club, now), for_service=[worm, replace(worm, since=None, words="it grows")])
    rows = rows_of(handover_page(office), "Broken, or to be looked at")
    assert [row[:3] for row in rows] == [
        ["Bracken", "2026-03-02", "damaged when it came back"],
        ["Bracken", "", "it grows"],
        ["Heron", "2026-03-02", "the clamp slips"],
    ]


def test_a_service_is_due_on_a_day_or_now_or_is_to_be_checked(
    sqlite_database: Database, now: datetime
) -> None:
    due = DueService(name="Heron", kind="mount", basis=DueBy.DATE, due_on=now.date(), words="", last_on=None)
    services = [
        due,
        replace(due, basis=DueBy.NIGHTS, due_on=None),
        replace(due, basis=DueBy.CONDITION, due_on=None),
    ]
    office = replace(handed_over(sqlite_database, now), services=services)
    (section,) = [one for one in handover_page(office).sections if one.title == "Services due"]
    (table,) = section.parts
    assert isinstance(table, Table)
    assert [row[1] for row in table.rows] == ["2026-03-02", "now", "check it"]


@pytest.mark.parametrize(
    ("copies", "perhaps", "told"),
    [
        ([], [], ["There is no copy beside it; make one: obslog db backup FILE"]),
        (["a.db"], [], ["A copy: a.db"]),
        (
            [],
            ["zero.db"],
            [
                "Beside it lies another database; whether it is a copy is not known: zero.db",
                "There is no known copy beside it; make one: obslog db backup FILE",
            ],
        ),
    ],
)
def test_only_what_is_known_to_be_a_copy_is_called_one(
    sqlite_database: Database, now: datetime, copies: list[str], perhaps: list[str], told: list[str]
) -> None:
    office = replace(handed_over(sqlite_database, now), copies=copies, perhaps_copies=perhaps)
    bullets = handover_page(office).sections[-1].parts[0]
    assert isinstance(bullets, Bullets)
    assert bullets.items[1:-2] == told


def test_the_clubs_own_routine_is_told_with_its_day_and_who_loaded_it(
    sqlite_database: Database, now: datetime
) -> None:
    def told(routine: RoutineStanding) -> str:
        office = replace(handed_over(sqlite_database, now), routine=routine)
        (section,) = [one for one in handover_page(office).sections if one.title == "The club's routine"]
        return " ".join(part.text for part in section.parts if isinstance(part, Paragraph))

    ships = RoutineStanding(own=[], loaded_utc=None, loaded_by=None)
    assert told(ships) == (
        "Steps, services, conditions and loan terms are as they ship. "
        "Write it into a file, to read or to change it: obslog rule write routine.toml"
    )
    own = RoutineStanding(own=["checklist", "loan"], loaded_utc=now, loaded_by="Ines")
    assert told(own).startswith(
        "The club has its own: the checklist, the loan terms. It is in force since 2026-03-02, loaded by Ines. Write"
    )
    assert "2026-03-02; who loaded it is not on record." in told(replace(own, loaded_by=None))
