"""Loans at their edges: the first and the last day that will do, what goes on, and what the page says of each part."""

from datetime import date, datetime, timedelta
from functools import partial

import pytest
from sqlalchemy import select

from obslog.club.register.rule_book import set_rule
from obslog.club.storeroom.kits import add_kit, add_part, remove_part
from obslog.club.storeroom.loan_faults import report_fault
from obslog.club.storeroom.loan_pages import NoSuchLoan, list_loans, loans_for_calendar, show_loan
from obslog.club.storeroom.loan_parts import InTwoPlaces, NotToBeLent
from obslog.club.storeroom.loan_records import BadDate, NotOut
from obslog.club.storeroom.loans import hand_over, lend, renew, take_back
from obslog.club.storeroom.missing import go_missing, part_goes_missing
from obslog.club.storeroom.retirement import retire
from obslog.club.storeroom.store_list import store_list
from obslog.club.storeroom.waiting_list import NoBorrower, reserve, waiting_list
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Equipment
from obslog.records.tables.storeroom import Paper
from obslog.vocabulary.storeroom import Condition

TODAY = date(2026, 3, 2)
DAY = timedelta(days=1)
WORN, BENT = (Condition.WORN, "a scratch"), (Condition.DAMAGED, "bent")
MISSING = (Condition.MISSING, None)
KIT = "Evening kit"


@pytest.fixture
def kit(sqlite_club: Database, now: datetime) -> Database:
    """The club with an evening kit of a mount, an eyepiece and a cap."""
    add_kit(sqlite_club, KIT, ["Heron", "Wide 25", "dust cap"], now)
    return sqlite_club


def test_a_loan_can_be_due_on_the_day_it_goes_out_and_come_back_on_it(kit: Database, now: datetime) -> None:
    assert lend(kit, KIT, "Ines", now, due=TODAY).loan.due_on == TODAY
    assert take_back(kit, KIT, now, on=TODAY).loan.back_on == TODAY
    with pytest.raises(BadDate, match="The due date 2026-03-01 is before 2026-03-02"):
        lend(kit, KIT, "Ines", now, due=TODAY - DAY)


def test_a_loan_typed_in_later_is_due_by_its_own_first_day(kit: Database, now: datetime) -> None:
    """It began on 20 February: by that month's rule, not by March's."""
    set_rule(kit, "loan-days-02", 10, now)
    set_rule(kit, "loan-days-03", 50, now)
    assert lend(kit, KIT, "Ines", now, on=date(2026, 2, 20)).loan.due_on == date(2026, 3, 2)
    with pytest.raises(BadDate, match="The day 2026-02-19 is before 2026-02-20"):
        take_back(kit, KIT, now, on=date(2026, 2, 19))


@pytest.mark.parametrize(
    ("due", "extended"),
    [
        (date(2026, 3, 10), date(2026, 3, 10) + 28 * DAY),  # from the day it was due
        (date(2026, 2, 25), TODAY + 28 * DAY),  # overdue: from today
    ],
)
def test_an_extension_is_another_term_from_the_later_of_today_and_the_due_day(
    kit: Database, now: datetime, due: date, extended: date
) -> None:
    lend(kit, KIT, "Ines", now, on=date(2026, 2, 20), due=due)
    line = renew(kit, KIT, now).loan
    assert (line.due_on, line.renewals, line.overdue) == (extended, 1, False)


def test_an_extension_is_of_a_day_at_least(kit: Database, now: datetime) -> None:
    lend(kit, KIT, "Ines", now, due=date(2026, 3, 10))
    with pytest.raises(BadDate, match=r"The new due date 2026-03-10 is before 2026-03-11\."):
        renew(kit, KIT, now, until=date(2026, 3, 10))
    assert renew(kit, KIT, now, until=date(2026, 3, 11)).loan.due_on == date(2026, 3, 11)
    assert renew(kit, KIT, now, until=date(2026, 3, 12)).loan.renewals == 2


def test_conditions_go_on_from_one_borrower_to_the_next(kit: Database, now: datetime) -> None:
    lend(kit, KIT, "Ines", now, conditions={"Heron": WORN})
    page = hand_over(kit, KIT, "Bram Ostler", now, conditions={"Heron": BENT, "dust cap": MISSING})
    assert [(part.part, part.condition_out, part.note_out) for part in page.parts] == [
        ("Heron", Condition.DAMAGED, "bent"),
        ("Wide 25", None, None),  # nobody looked
    ]
    first = next(loan for loan in list_loans(kit, TODAY, with_back=True) if loan.member == "Ines")
    came = show_loan(kit, first.reference, TODAY).parts
    assert [(part.part, part.condition_in, part.differs) for part in came] == [
        ("Heron", Condition.DAMAGED, "worn -> damaged"),
        ("Wide 25", None, None),
        ("dust cap", Condition.MISSING, "nobody looked when it went out -> missing"),
    ]


def test_all_that_was_looked_at_goes_on_as_good(kit: Database, now: datetime) -> None:
    lend(kit, KIT, "Ines", now)
    page = hand_over(kit, KIT, "Bram Ostler", now, all_good=True, due=date(2026, 3, 5))
    assert {part.condition_out for part in page.parts} == {Condition.GOOD}
    assert (page.loan.out_on, page.loan.due_on) == (TODAY, date(2026, 3, 5))


def test_nothing_is_handed_over_where_nothing_is_left(kit: Database, now: datetime) -> None:
    lend(kit, "Stop 20", "Ines", now)
    with pytest.raises(NotToBeLent, match="nothing of it is left"):
        hand_over(kit, "Stop 20", "Bram Ostler", now, conditions={"Stop 20": MISSING})
    assert [loan.member for loan in list_loans(kit, TODAY)] == ["Ines"]


def test_what_is_written_off_is_neither_lent_nor_listed_though_not_retired(
    kit: Database, now: datetime
) -> None:
    """Of two laptops one took it into use again while the other wrote it off."""
    with kit.write(now) as session:
        item = session.scalars(select(Equipment).where(Equipment.name == "Stop 20")).one()
        session.add(Paper(equipment_id=item.id, written_off_on=TODAY))
    with pytest.raises(NotToBeLent, match="written off on 2026-03-02"):
        lend(kit, "Stop 20", "Ines", now)
    assert "Stop 20" not in [line.name for line in store_list(kit)]
    assert "Stop 20" in [line.name for line in store_list(kit, with_retired=True)]


def test_who_has_left_borrows_nothing(kit: Database, now: datetime) -> None:
    lend(kit, KIT, "Ines", now)
    retire(kit, "member", "Bram Ostler", None, TODAY, now)
    words = "^Bram Ostler was retired on 2026-03-02 and cannot borrow"
    with pytest.raises(NoBorrower, match=words):
        hand_over(kit, KIT, "Bram Ostler", now)
    with pytest.raises(NoBorrower, match=words):
        lend(kit, "Stop 20", "Bram Ostler", now)
    assert [loan.member for loan in list_loans(kit, TODAY)] == ["Ines"]


def test_a_kit_of_which_nothing_is_there_is_not_lent(kit: Database, now: datetime) -> None:
    add_kit(kit, "Box", ["Stop 20"], now)
    go_missing(kit, "Stop 20", now)
    with pytest.raises(NotToBeLent, match="none of its parts is there"):
        lend(kit, "Box", "Ines", now)


@pytest.fixture
def was_out(kit: Database, now: datetime) -> Database:
    """The eyepiece was out from the 10th to the 20th of February, alone."""
    lend(kit, "Stop 20", "Ines", now, on=date(2026, 2, 10))
    take_back(kit, "Stop 20", now, on=date(2026, 2, 20))
    return kit


WAS_OUT = "Stop 20 was out from 2026-02-10 to 2026-02-20"


@pytest.mark.parametrize(("day", "refused"), [(9, False), (10, True), (19, True), (20, False)])
def test_nothing_goes_out_on_a_day_on_which_another_had_it(
    was_out: Database, now: datetime, day: int, refused: bool
) -> None:
    """One battery was with two members at once."""
    on = date(2026, 2, day)
    if refused:
        with pytest.raises(InTwoPlaces, match=WAS_OUT):
            lend(was_out, "Stop 20", "Bram Ostler", now, on=on)
    else:
        assert lend(was_out, "Stop 20", "Bram Ostler", now, on=on).loan.out_on == on


@pytest.mark.parametrize(("day", "refused"), [(5, False), (10, False), (11, True), (28, True)])
def test_nothing_comes_back_on_a_day_after_another_had_it(
    was_out: Database, now: datetime, day: int, refused: bool
) -> None:
    lend(was_out, "Stop 20", "Bram Ostler", now, on=date(2026, 2, 5))
    on = date(2026, 2, day)
    if refused:
        for back in (take_back, partial(hand_over, to="Ines"), partial(go_missing, lost_on_loan=True)):
            with pytest.raises(InTwoPlaces, match=WAS_OUT) as refused_with:
                back(was_out, "Stop 20", now=now, on=on)
            assert "it was back on 2026-02-10 at the latest" in str(refused_with.value.hint)
    else:
        assert take_back(was_out, "Stop 20", now, on=on).loan.back_on == on


def test_a_kit_goes_out_without_what_another_had_on_that_day_and_not_twice(
    kit: Database, now: datetime
) -> None:
    day = date(2026, 2, 10)
    add_kit(kit, "Box", ["Stop 20", "Long tube", "flask"], now - 60 * DAY)
    lend(kit, "Stop 20", "Ines", now, on=day)
    take_back(kit, "Stop 20", now, on=day + 10 * DAY)
    page = lend(kit, "Box", "Bram Ostler", now, on=day + DAY)
    assert ([part.part for part in page.parts], page.left_behind) == (["Long tube", "flask"], ["Stop 20"])
    take_back(kit, "Box", now, on=day + 5 * DAY)
    with pytest.raises(InTwoPlaces, match="Box was out from 2026-02-11 to 2026-02-15"):
        lend(kit, "Box", "Ines", now, on=day + 4 * DAY)
    lend(kit, "Box", "Ines", now, on=day - DAY)
    with pytest.raises(InTwoPlaces, match="Stop 20 was out from 2026-02-10 to 2026-02-20"):
        take_back(kit, "Box", now)
    assert take_back(kit, "Box", now, on=day).loan.back_on == day


def test_a_kit_of_which_another_had_everything_on_that_day_does_not_go_out(
    kit: Database, now: datetime
) -> None:
    add_kit(kit, "Box", ["Stop 20"], now)
    lend(kit, "Stop 20", "Ines", now, on=date(2026, 2, 10))
    take_back(kit, "Stop 20", now, on=date(2026, 2, 20))
    with pytest.raises(InTwoPlaces, match=WAS_OUT):
        lend(kit, "Box", "Bram Ostler", now, on=date(2026, 2, 15))


def test_nothing_is_handed_on_to_a_day_on_which_another_had_it(was_out: Database, now: datetime) -> None:
    lend(was_out, "Stop 20", "Bram Ostler", now, on=date(2026, 2, 5))
    with pytest.raises(InTwoPlaces, match=WAS_OUT):
        hand_over(was_out, "Stop 20", "Ines", now, on=date(2026, 2, 10))


def test_an_item_lost_on_loan_ends_the_loan_with_the_last_of_it(kit: Database, now: datetime) -> None:
    lend(kit, KIT, "Ines", now, on=date(2026, 2, 20))
    remove_part(kit, KIT, "dust cap", None, now)
    with pytest.raises(BadDate, match="The day 2026-02-19 is before 2026-02-20"):
        go_missing(kit, "Heron", now, on=date(2026, 2, 19), lost_on_loan=True)
    go_missing(kit, "Heron", now, on=date(2026, 2, 20), lost_on_loan=True)
    assert [loan.back_on for loan in list_loans(kit, TODAY)] == [None]
    lend(kit, "Stop 20", "Ines", now)
    go_missing(kit, "Stop 20", now, lost_on_loan=True)
    assert [loan.what for loan in list_loans(kit, TODAY)] == [KIT]
    with pytest.raises(NotOut, match="Lead battery"):
        go_missing(kit, "Lead battery", now, lost_on_loan=True)


def test_a_loan_serves_the_borrowers_place_and_no_other(kit: Database, now: datetime) -> None:
    reserve(kit, KIT, "Ines", now)
    reserve(kit, KIT, "Bram Ostler", now + timedelta(minutes=1))
    assert lend(kit, KIT, "Ines", now).loan.waiting == 1
    assert [line.member for line in waiting_list(kit, KIT)] == ["Bram Ostler"]
    back = take_back(kit, KIT, now).loan
    assert (back.back_on, back.waiting) == (TODAY, 1), "who is next is told that it is there"
    assert [loan.waiting for loan in list_loans(kit, TODAY, with_back=True)] == [0], (
        "nobody waits for a loan that is over"
    )


def test_what_stayed_behind_is_what_belonged_to_the_kit_on_that_day(kit: Database, now: datetime) -> None:
    part_goes_missing(kit, KIT, "dust cap", now)
    assert lend(kit, KIT, "Ines", now).left_behind == ["dust cap"]
    add_part(kit, KIT, "Stop 20", now + DAY)
    assert show_loan(kit, KIT, TODAY + DAY).left_behind == ["dust cap"]  # it joined the day after
    remove_part(kit, KIT, "dust cap", None, now + DAY)
    assert show_loan(kit, KIT, TODAY + DAY).left_behind == ["dust cap"]


@pytest.mark.parametrize(("days", "came_with_it"), [(0, True), (3, True), (4, False)])
def test_a_fault_of_the_first_three_days_came_with_it(
    kit: Database, now: datetime, days: int, came_with_it: bool
) -> None:
    lend(kit, KIT, "Ines", now, on=date(2026, 2, 20))
    page = report_fault(kit, KIT, "it slips", now, part="Heron", on=date(2026, 2, 20) + days * DAY)
    assert [part.came_with_it for part in page.parts] == [came_with_it, None, None]


def test_the_list_within_days_ends_on_the_last_of_them(kit: Database, now: datetime) -> None:
    for name, due in (("Stop 20", TODAY + 7 * DAY), ("Wide 25", TODAY + 8 * DAY), ("Lead battery", TODAY)):
        lend(kit, name, "Ines", now, due=due)
    take_back(kit, "Lead battery", now)
    assert [loan.what for loan in list_loans(kit, TODAY, due_within_days=7)] == ["Stop 20"]
    assert [loan.what for loan in list_loans(kit, TODAY, due_within_days=8)] == ["Stop 20", "Wide 25"]
    assert [loan.what for loan in list_loans(kit, TODAY, due_within_days=0, with_back=True)] == []
    assert [loan.what for loan in list_loans(kit, TODAY, member="bram ostler")] == []
    assert len(list_loans(kit, TODAY, member="ines", with_back=True)) == 3


def test_the_calendar_holds_what_is_out_and_what_came_back_lately(kit: Database, now: datetime) -> None:
    for name, back in (("Stop 20", TODAY - 400 * DAY), ("Wide 25", TODAY - 401 * DAY)):
        lend(kit, name, "Ines", now, on=back - 9 * DAY)
        take_back(kit, name, now, on=back)
    lend(kit, "Lead battery", "Ines", now, on=TODAY - 900 * DAY)
    assert {line.what for _, line in loans_for_calendar(kit, TODAY)} == {"Stop 20", "Lead battery"}


@pytest.mark.parametrize(
    ("late", "overdue", "due_soon", "state"),
    [
        (-8, False, False, ""),
        (-1, False, True, "due soon"),
        (0, False, True, "due"),
        (1, False, False, "due"),
        (2, False, False, "due"),
        (3, True, False, "overdue"),
    ],
)
def test_days_of_grace_put_off_what_is_overdue_and_not_what_is_due(
    kit: Database, now: datetime, late: int, overdue: bool, due_soon: bool, state: str
) -> None:
    set_rule(kit, "overdue-out", 2, now)
    lend(kit, KIT, "Ines", now, on=TODAY - 20 * DAY, due=TODAY - late * DAY)
    (line,) = list_loans(kit, TODAY)
    assert (line.days_left, line.overdue, line.due_soon, line.state) == (-late, overdue, due_soon, state)
    assert (list_loans(kit, TODAY, overdue=True) == [line]) is overdue


def test_a_loan_is_found_by_its_item_or_its_reference_and_by_nothing_else(
    kit: Database, now: datetime
) -> None:
    first = lend(kit, "Stop 20", "Ines", now, on=TODAY - 9 * DAY)
    take_back(kit, "Stop 20", now)
    second = lend(kit, "Stop 20", "Bram Ostler", now)
    assert show_loan(kit, "stop 20", TODAY).key == second.key
    assert show_loan(kit, first.loan.reference.upper(), TODAY).key == first.key
    for handle in ("Wide 25", "Stop 21", "xyz"):
        with pytest.raises(NoSuchLoan):
            show_loan(kit, handle, TODAY)
