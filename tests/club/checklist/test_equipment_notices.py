"""What the briefing and the checklist say of loans and services: one line each, only where there is one."""

from datetime import date, datetime

from obslog.club.checklist.checklist import checklist
from obslog.club.checklist.equipment_notices import KitNotices
from obslog.club.storeroom.kits import add_kit
from obslog.club.storeroom.loans import lend
from obslog.club.upkeep.service_bills import Bill
from obslog.club.upkeep.services import add_service
from obslog.records.name_lookup import by_name
from obslog.records.opening import Database
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
