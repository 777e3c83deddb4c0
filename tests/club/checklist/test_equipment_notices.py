"""What the briefing and the checklist say of loans and services: one line each, only where there is one."""

from datetime import date, datetime

from obslog.club.checklist.checklist import checklist
from obslog.club.checklist.equipment_notices import KitNotices
from obslog.club.register.rule_book import set_rule
from obslog.club.storeroom.kits import add_kit, remove_part
from obslog.club.storeroom.loans import lend
from obslog.club.upkeep.service_bills import Bill
from obslog.club.upkeep.services import add_service
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Mount


def words(club: Database, mount: str, night: date, tube: str | None = None) -> list[str]:
    with club.read() as session:
        notices = KitNotices(session, night)
        return [notice.words for notice in notices.about(by_name(session, Mount, mount).id, tube)]


def test_nothing_is_said_where_there_is_nothing(club: Database, now: datetime) -> None:
    assert words(club, "Heron", now.date(), "Long tube") == []
    assert checklist(club, "Heron", "Mill Field", now).notices == []


def test_a_kit_on_loan_is_one_line_without_a_name(club: Database, now: datetime) -> None:
    add_kit(club, "Evening kit", ["Heron", "Long tube", "Lead battery"], now)
    lend(club, "Evening kit", "Ines", now, due=date(2026, 3, 10))
    line = "Evening kit is on loan, due back on 2026-03-10"
    assert words(club, "Heron", now.date(), "Long tube") == [line]
    assert words(club, "Heron", date(2026, 3, 11)) == [f"{line}, overdue"]
    assert words(club, "Bracken", now.date()) == []
    assert [notice.words for notice in checklist(club, "Heron", "Mill Field", now).notices] == [line]


def test_services_of_the_mount_its_tube_and_its_kit_are_named(club: Database, now: datetime) -> None:
    add_kit(club, "Evening kit", ["Heron", "Lead battery"], now)
    bill = Bill(next_on=date(2026, 3, 1), next_when="it plays")
    for kind, name in (
        ("mount", "Heron"),
        ("tube", "Long tube"),
        ("item", "Lead battery"),
        ("mount", "Bracken"),
    ):
        add_service(club, kind, name, "cleaned", now, on=date(2026, 1, 1), bill=bill)
    told = words(club, "Heron", now.date(), "Long tube")
    assert [line.split(":")[0] for line in told] == ["Heron", "Long tube", "Lead battery"]
    assert words(club, "Heron", date(2026, 2, 28), "Long tube") == []


def test_on_the_day_it_is_due_a_loan_is_not_overdue(club: Database, now: datetime) -> None:
    lend(club, "Heron", "Ines", now, due=date(2026, 3, 10))
    line = "Heron is on loan, due back on 2026-03-10"
    assert words(club, "Heron", date(2026, 3, 10)) == [line]
    assert words(club, "Heron", date(2026, 3, 11)) == [f"{line}, overdue"]
    assert words(club, "Bracken", date(2026, 3, 10), "Long tube") == []
    set_rule(club, "overdue-out", 2, now)  # the club's days of grace
    assert words(club, "Heron", date(2026, 3, 12)) == [line]
    assert words(club, "Heron", date(2026, 3, 13)) == [f"{line}, overdue"]


def test_each_loan_is_told_once_the_mounts_first_and_all_loans_before_any_service(
    club: Database, now: datetime
) -> None:
    """The tube is out by itself; mount, eyepiece and battery as a kit; the mount's service is due too."""
    add_kit(club, "Evening kit", ["Heron", "Wide 25", "Lead battery"], now)
    bill = Bill(next_on=date(2026, 3, 1))
    add_service(club, "mount", "Heron", "cleaned", now, on=date(2026, 1, 1), bill=bill)
    lend(club, "Long tube", "Bram Ostler", now, due=date(2026, 3, 9))
    lend(club, "Evening kit", "Ines", now, due=date(2026, 3, 10))
    assert words(club, "Heron", now.date(), "Long tube") == [
        "Evening kit is on loan, due back on 2026-03-10",
        "Long tube is on loan, due back on 2026-03-09",
        "Heron: service was due on 2026-03-01; the last was on 2026-01-01: cleaned",
    ]
    assert words(club, "Heron", now.date(), "No such tube") == words(club, "Heron", now.date())


def test_what_left_the_mounts_kit_is_not_told_with_it(club: Database, now: datetime) -> None:
    add_kit(club, "Evening kit", ["Heron", "Wide 25"], now)
    add_kit(club, "Box", ["Stop 20"], now)
    for name in ("Wide 25", "Stop 20"):
        lend(club, name, "Ines", now, due=date(2026, 3, 10))
    assert words(club, "Heron", now.date()) == ["Wide 25 is on loan, due back on 2026-03-10"]
    remove_part(club, "Evening kit", "Wide 25", None, now)
    assert words(club, "Heron", now.date()) == []
