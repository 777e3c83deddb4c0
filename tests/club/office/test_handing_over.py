"""What a successor is told: all that is out, missing, broken, due and waited for, and nothing that is settled."""

from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from obslog.club.night.snags import add_snag, fix_snag
from obslog.club.office.handing_over import handed_over
from obslog.club.register.rule_book import set_rule
from obslog.club.storeroom.kits import add_kit
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.storeroom.missing import go_missing
from obslog.club.storeroom.retirement import retire
from obslog.club.storeroom.waiting_list import reserve
from obslog.club.upkeep.batteries import note_test
from obslog.club.upkeep.service_bills import Bill
from obslog.club.upkeep.services import add_service
from obslog.records.care.copying import back_up
from obslog.records.database import Database
from obslog.vocabulary.steps import Step
from obslog.vocabulary.storeroom import Condition


def test_all_of_it_is_told(club: Database, now: datetime) -> None:
    before = now - timedelta(days=60)
    add_kit(club, "Evening kit", ["Wide 25", "dust cap"], before)
    lend(club, "Evening kit", "Ines", before)
    lend(club, "Long tube", "Ines", before)
    take_back(club, "Long tube", now)
    reserve(club, "Evening kit", "Bram Ostler", now)
    go_missing(club, "Lead battery", now)
    add_snag(club, Step.LEVEL, "the clamp slips", now, mount="Heron")
    mended = add_snag(club, Step.LEVEL, "a loose foot", now, mount="Heron")
    fix_snag(club, mended.reference, "tightened", now)
    add_snag(club, Step.LEVEL, "mud", now, site="Mill Field")
    add_service(
        club,
        "mount",
        "Heron",
        "greased",
        now,
        on=now.date(),
        bill=Bill(next_on=now.date() + timedelta(days=90)),
    )
    add_service(
        club,
        "mount",
        "Bracken",
        "greased",
        now,
        on=now.date(),
        bill=Bill(next_on=now.date() + timedelta(days=91)),
    )
    set_rule(club, "loan-days", 21, now)
    office = handed_over(club, now)
    assert [(loan.what, loan.member, loan.overdue) for loan in office.out] == [("Evening kit", "Ines", True)]
    assert [(line.what, line.member) for line in office.waiting] == [("Evening kit", "Bram Ostler")]
    assert [line.name for line in office.missing] == ["Lead battery"]
    assert [snag.text for snag in office.broken] == ["the clamp slips"]
    assert [due.name for due in office.services] == ["Heron"]
    assert [(rule.name, rule.value) for rule in office.rules] == [("loan-days", 21)]
    assert office.health.found > 0
    assert office.leavers_due == []


def test_what_came_back_damaged_is_told_once_and_not_with_the_services_that_are_due(
    sqlite_club: Database, now: datetime
) -> None:
    """A mount whose worm was loose stood in no section, while the review said "service"."""
    day = now.date()
    add_kit(sqlite_club, "Evening kit", ["Heron", "Wide 25"], now)
    lend(sqlite_club, "Evening kit", "Ines", now)
    take_back(sqlite_club, "Evening kit", now, conditions={"Heron": (Condition.DAMAGED, "worm, loose")})
    bill = Bill(next_on=day)
    add_service(sqlite_club, "eyepiece", "Wide 25", "cleaned", now, on=day - timedelta(days=40), bill=bill)
    note_test(sqlite_club, "Lead battery", now, on=day, capacity_percent=20)
    office = handed_over(sqlite_club, now)
    assert [(one.name, one.kind, one.since, one.words) for one in office.for_service] == [
        ("Heron", "mount", day, "damaged when it came back on 2026-03-02: worm, loose")
    ]
    assert {due.name for due in office.services} == {"Wide 25", "Lead battery"}
    add_service(sqlite_club, "mount", "Heron", "a new worm", now, on=now.date())
    assert handed_over(sqlite_club, now).for_service == []


def test_a_name_that_is_due_to_go_is_told(club: Database, now: datetime) -> None:
    retire(club, "member", "Ines", None, date(2020, 1, 1), now)
    assert [leaver.name for leaver in handed_over(club, now).leavers_due] == ["Ines"]


def test_where_the_database_and_its_copies_lie(sqlite_club: Database, now: datetime) -> None:
    place = Path(str(sqlite_club.engine.url.database))
    assert handed_over(sqlite_club, now).copies == []
    back_up(sqlite_club.engine, place.with_name("sunday.db"))
    office = handed_over(sqlite_club, now)
    assert (office.where, office.copies, office.perhaps_copies) == (
        str(place.resolve()),
        [str(place.resolve().with_name("sunday.db"))],
        [],
    )


def test_a_server_is_told_without_its_password(
    postgres_database: Database, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    office = handed_over(postgres_database, now)
    assert (office.copies, office.perhaps_copies) == ([], [])
    assert office.where == postgres_database.where
