"""Missing, found, written off, and in use again; in the store and in a borrower's hands."""

from datetime import date, datetime, timedelta

import pytest
from sqlalchemy import select

from obslog.club.register.undo import undo
from obslog.club.storeroom.custody import LostWhileOut, StoreStatus
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.item_history import Event
from obslog.club.storeroom.kits import add_kit, show_kit
from obslog.club.storeroom.loan_pages import list_loans, show_loan
from obslog.club.storeroom.loan_parts import NotToBeLent
from obslog.club.storeroom.loan_records import BadDate, NotOut
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.storeroom.missing import (
    FoundTooEarly,
    MissingAlready,
    NotMissing,
    be_found,
    go_missing,
    part_goes_missing,
    part_is_found,
)
from obslog.club.storeroom.retirement import BeforeThat, NotRetired, WrittenOff, reinstate, retire, write_off
from obslog.club.storeroom.store_list import store_list, worth
from obslog.club.storeroom.store_page import store_page
from obslog.errors import UnknownName
from obslog.records.database import Database
from obslog.records.tables.lending import Absence
from obslog.times import FutureDate
from obslog.vocabulary.storeroom import Condition

ADA = "Ines"


@pytest.fixture
def kit(club: Database, now: datetime) -> Database:
    add_kit(club, "Evening kit", ["Heron", "Wide 25", "dust cap"], now)
    return club


def status(database: Database, name: str) -> StoreStatus:
    return next(line.status for line in store_list(database, with_retired=True) if line.name == name)


def events(database: Database, name: str, today: date) -> list[tuple[date, str]]:
    return [(event.day, event.what) for event in store_page(database, name, today).history]


def test_a_thing_goes_missing_from_its_kit_too_and_is_found(kit: Database, now: datetime) -> None:
    go_missing(kit, "wide 25", now)
    assert status(kit, "Wide 25") is StoreStatus.MISSING
    assert not show_kit(kit, "Evening kit").complete
    with pytest.raises(MissingAlready, match="2026-03-02"):
        go_missing(kit, "Wide 25", now)
    with pytest.raises(NotToBeLent):
        lend(kit, "Wide 25", ADA, now)
    with pytest.raises(FoundTooEarly):
        be_found(kit, "Wide 25", now, on=date(2026, 3, 1))
    be_found(kit, "Wide 25", now + timedelta(days=3))
    assert status(kit, "Wide 25") is StoreStatus.IN
    assert show_kit(kit, "Evening kit").complete
    with pytest.raises(NotMissing):
        be_found(kit, "Wide 25", now)
    assert events(kit, "Wide 25", now.date())[-2:] == [
        (date(2026, 3, 2), "missing"),
        (date(2026, 3, 5), "found"),
    ]


@pytest.mark.parametrize("act", ["missing", "write-off"])
def test_what_is_out_says_what_to_do_first(kit: Database, now: datetime, act: str) -> None:
    lend(kit, "Evening kit", ADA, now)
    acts = {
        "missing": lambda: go_missing(kit, "Wide 25", now),
        "write-off": lambda: write_off(kit, "Wide 25", "lost", now),
    }
    with pytest.raises(LostWhileOut) as caught:
        acts[act]()
    assert ADA not in caught.value.message + caught.value.hint
    assert 'obslog loan back "Evening kit"' in caught.value.hint
    assert "--lost-on-loan" in caught.value.hint
    assert status(kit, "Wide 25") is StoreStatus.OUT


def test_what_the_borrower_lost_is_written_off_and_the_rest_stays_out(kit: Database, now: datetime) -> None:
    lend(kit, "Evening kit", ADA, now, all_good=True)
    later = now + timedelta(days=9)
    write_off(kit, "Wide 25", "fell in the lake", later, lost_on_loan=True)
    assert status(kit, "Wide 25") is StoreStatus.WRITTEN_OFF
    assert status(kit, "Heron") is StoreStatus.OUT
    assert [loan.what for loan in list_loans(kit, later.date())] == ["Evening kit"]
    page = take_back(kit, "Evening kit", later + timedelta(days=5), all_good=True)
    conditions = {part.part: part.condition_in for part in page.parts}
    assert conditions == {
        "Heron": Condition.GOOD,
        "Wide 25": Condition.MISSING,
        "dust cap": Condition.GOOD,
    }
    assert events(kit, "Wide 25", later.date())[1:] == [
        (date(2026, 3, 2), "out"),
        (date(2026, 3, 11), "back"),
        (date(2026, 3, 11), "missing"),
        (date(2026, 3, 11), "written off"),
    ]


def test_a_thing_lent_alone_and_lost_ends_its_loan(kit: Database, now: datetime) -> None:
    lend(kit, "Stop 20", ADA, now)
    go_missing(kit, "Stop 20", now + timedelta(days=2), lost_on_loan=True)
    assert list_loans(kit, now.date()) == []
    assert status(kit, "Stop 20") is StoreStatus.MISSING
    undo(kit, now)
    assert status(kit, "Stop 20") is StoreStatus.OUT
    assert show_loan(kit, "Stop 20", now.date()).loan.back_on is None
    with pytest.raises(BadDate):
        go_missing(kit, "Stop 20", now, on=date(2026, 3, 1), lost_on_loan=True)
    with pytest.raises(NotOut):
        go_missing(kit, "Heron", now, lost_on_loan=True)


def test_a_write_off_keeps_its_reason_and_is_undone_as_one_act(kit: Database, now: datetime) -> None:
    write_off(kit, "Stop 20", "cracked", now)
    line = next(line for line in store_list(kit, with_retired=True) if line.name == "Stop 20")
    assert (line.status, line.written_off_on, line.retired_on) == ("written off", now.date(), now.date())
    assert line.retired_why == "cracked"
    assert "Stop 20" not in [line.name for line in store_list(kit)]
    with pytest.raises(WrittenOff):
        write_off(kit, "Stop 20", "again", now)
    assert undo(kit, now) == "write Stop 20 off"
    assert status(kit, "Stop 20") is StoreStatus.IN


def test_what_was_retired_before_keeps_both_reasons(kit: Database, now: datetime) -> None:
    retire(kit, "tube", "Long tube", "dented", date(2026, 2, 1), now)
    with pytest.raises(BeforeThat):
        write_off(kit, "Long tube", "sold for parts", now, on=date(2026, 1, 31))
    write_off(kit, "Long tube", "sold for parts", now)
    page = store_page(kit, "Long tube", now.date())
    assert page.papers.retired_why == "dented; sold for parts"
    assert [event.what for event in page.history] == ["retired", "written off"]


@pytest.mark.parametrize("name", ["Evening kit", "Stop 20"])
def test_a_retired_thing_comes_back_and_its_past_is_kept(kit: Database, now: datetime, name: str) -> None:
    with pytest.raises(NotRetired):
        reinstate(kit, name, now)
    kind = "kit" if name == "Evening kit" else "eyepiece"
    retire(kit, kind, name, "nobody wants it", date(2026, 2, 1), now)
    with pytest.raises(BeforeThat):
        reinstate(kit, name, now, on=date(2026, 1, 1))
    reinstate(kit, name, now)
    assert status(kit, name) is StoreStatus.IN
    history = store_page(kit, name, now.date()).history
    assert Event(date(2026, 2, 1), "retired", "nobody wants it") in history
    assert history[-1].what == "in use"
    assert lend(kit, name, ADA, now).loan.what == name
    undo(kit, now)
    undo(kit, now)
    assert status(kit, name) is StoreStatus.RETIRED


def test_a_written_off_thing_that_turns_up_is_there_again(kit: Database, now: datetime) -> None:
    go_missing(kit, "Wide 25", now)
    write_off(kit, "Wide 25", "lost", now + timedelta(days=20))
    reinstate(kit, "Wide 25", now + timedelta(days=40))
    assert status(kit, "Wide 25") is StoreStatus.IN
    assert show_kit(kit, "Evening kit").complete
    assert [event.what for event in store_page(kit, "Wide 25", now.date()).history][1:] == [
        "missing",
        "written off",
        "found",
        "in use",
    ]


def test_days_to_come_and_unknown_names_are_refused(kit: Database, now: datetime) -> None:
    for act in (go_missing, be_found, reinstate):
        with pytest.raises(FutureDate):
            act(kit, "Heron", now, on=date(2026, 3, 9))
        with pytest.raises(UnknownName):
            act(kit, "Nothing", now)


def test_the_worth_leaves_out_what_is_unknown_and_what_is_written_off(kit: Database, now: datetime) -> None:
    for name, value in (("Heron", 900.1), ("Bracken", 0.2), ("Stop 20", 75.0)):
        write_paper(kit, name, {"value": value}, now)
    write_off(kit, "Stop 20", "cracked", now)
    found = worth(store_list(kit, with_retired=True))
    assert (found.value, found.known, found.unknown) == (900.3, 2, 4)  # of seven things one is written off
    assert [line.name for line in store_list(kit, kind="mount")] == ["Bracken", "Heron", "Thistle"]
    go_missing(kit, "Wide 25", now)
    assert [line.name for line in store_list(kit, missing=True)] == ["Wide 25"]


def test_who_has_what_is_named_only_where_asked(kit: Database, now: datetime) -> None:
    lend(kit, "Evening kit", ADA, now)
    take_back(kit, "Evening kit", now)
    lend(kit, "Evening kit", ADA, now)
    plain = repr(
        [store_list(kit), store_page(kit, "Heron", now.date()), store_page(kit, "Evening kit", now.date())]
    )
    assert ADA not in plain
    assert "on loan" in plain
    assert f"with {ADA}" in repr(store_list(kit, with_names=True))
    assert f"to {ADA}" in repr(store_page(kit, "Heron", now.date(), with_names=True))


@pytest.mark.parametrize("part", ["Wide 25", "dust cap"])
def test_a_part_goes_missing_once_and_the_first_day_stays(kit: Database, now: datetime, part: str) -> None:
    part_goes_missing(kit, "Evening kit", part, now)
    with pytest.raises(MissingAlready, match=f"{part} has been missing since 2026-03-02"):
        part_goes_missing(kit, "Evening kit", part, now + timedelta(days=5))
    where = {line.part: line.where for line in show_kit(kit, "Evening kit").parts}
    assert where[part] == "missing since 2026-03-02"


@pytest.mark.parametrize("part", ["Wide 25", "dust cap"])
def test_a_part_that_is_not_missing_cannot_be_found(kit: Database, now: datetime, part: str) -> None:
    with pytest.raises(NotMissing, match=f"{part} is not missing"):
        part_is_found(kit, "Evening kit", part, now)
    part_goes_missing(kit, "Evening kit", part, now)
    with pytest.raises(FoundTooEarly):
        part_is_found(kit, "Evening kit", part, now, on=date(2026, 3, 1))
    assert part_is_found(kit, "Evening kit", part, now + timedelta(days=1)).complete


def test_it_is_one_fact_whether_said_of_the_part_or_of_the_item(kit: Database, now: datetime) -> None:
    part_goes_missing(kit, "Evening kit", "Wide 25", now)
    with pytest.raises(MissingAlready, match="2026-03-02"):
        go_missing(kit, "Wide 25", now + timedelta(days=3))
    be_found(kit, "Wide 25", now + timedelta(days=4))
    with pytest.raises(NotMissing):
        part_is_found(kit, "Evening kit", "Wide 25", now + timedelta(days=5))
    with kit.read() as session:
        absences = session.execute(select(Absence.since, Absence.found_on)).all()
    assert [tuple(row) for row in absences] == [(date(2026, 3, 2), date(2026, 3, 6))]
