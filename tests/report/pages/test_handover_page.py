"""The page for a successor: each subject has its section, with or without anything in it."""

from dataclasses import replace
from datetime import datetime, timedelta

from obslog.club.office.handing_over import handed_over
from obslog.club.register.contacts import set_contact
from obslog.club.routine.club_routine import RoutineStanding
from obslog.club.storeroom.loans import lend
from obslog.club.storeroom.waiting_list import reserve
from obslog.club.upkeep.services_due import DueBy, DueService
from obslog.records.database import Database
from obslog.report.pages.content import Paragraph, Table
from obslog.report.pages.handover_page import handover_page
from obslog.report.pages.writing import page_html

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
