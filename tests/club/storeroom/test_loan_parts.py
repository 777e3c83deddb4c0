"""The parts of a loan: which go with it and which stay behind, and in what condition each went and came back."""

from datetime import datetime, timedelta

import pytest

from obslog.club.routine.part_conditions import Conditions
from obslog.club.storeroom.kits import add_kit, add_part, remove_part, show_kit
from obslog.club.storeroom.loan_parts import NotToBeLent
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.storeroom.missing import part_goes_missing, part_is_found
from obslog.errors import UnknownName
from obslog.records.database import Database
from obslog.vocabulary.storeroom import Condition

ADA, BRAM = "Ines", "Bram Ostler"


def test_a_part_lent_apart_stays_behind(kit: Database, now: datetime) -> None:
    lend(kit, "Wide 25", BRAM, now)
    page = lend(kit, "Evening kit", ADA, now)
    assert [part.part for part in page.parts] == ["Heron", "Long tube", "dust cap"]
    assert page.left_behind == ["Wide 25"]
    assert not show_kit(kit, "Evening kit").complete


def test_differences_between_out_and_in_are_shown(kit: Database, now: datetime) -> None:
    lend(kit, "Evening kit", ADA, now, all_good=True)
    later = now + timedelta(days=10)
    lost, bent = (Condition.MISSING, "left in the grass"), (Condition.DAMAGED, "a bent screw")
    page = take_back(kit, "Evening kit", later, conditions={"wide 25": lost, "heron": bent}, all_good=True)
    assert {part.part: part.differs for part in page.parts} == {
        "Heron": "good -> damaged",
        "Long tube": None,
        "Wide 25": "good -> missing",
        "dust cap": None,
    }
    where = {part.part: part.where for part in show_kit(kit, "Evening kit").parts}
    assert where["Wide 25"] == "missing since 2026-03-12"
    with pytest.raises(NotToBeLent, match="missing"):
        lend(kit, "Wide 25", BRAM, later)
    assert "Wide 25" in lend(kit, "Evening kit", BRAM, later).left_behind


def test_nobody_looked_is_not_good(kit: Database, now: datetime) -> None:
    page = lend(kit, "Evening kit", ADA, now, conditions={"dust cap": (Condition.WORN, None)})
    assert [part.condition_out for part in page.parts] == [None, None, None, Condition.WORN]
    with pytest.raises(UnknownName, match="part"):
        take_back(kit, "Evening kit", now, conditions={"flask": (Condition.GOOD, None)})


def test_a_missing_part_that_is_found_can_go_out_again(kit: Database, now: datetime) -> None:
    part_goes_missing(kit, "Evening kit", "Wide 25", now)
    assert not show_kit(kit, "Evening kit").complete
    part_is_found(kit, "Evening kit", "Wide 25", now)
    assert show_kit(kit, "Evening kit").complete
    assert lend(kit, "Wide 25", ADA, now).loan.kind == "eyepiece"


@pytest.mark.parametrize(
    ("conditions", "all_good", "where"),
    [
        ({}, True, "in the store"),
        ({"dust cap": (Condition.DAMAGED, "cracked")}, False, "in the store"),
        ({}, False, "missing since 2026-03-02"),  # nobody looked
        ({"dust cap": (Condition.MISSING, None)}, True, "missing since 2026-03-02"),
    ],
)
def test_a_label_that_was_said_to_be_missing_is_there_again_when_it_came_back(
    kit: Database, now: datetime, conditions: Conditions, all_good: bool, where: str
) -> None:
    """It came back good, and the kit was not complete, and the report counted it as lost."""
    lend(kit, "Evening kit", ADA, now)
    part_goes_missing(kit, "Evening kit", "dust cap", now)
    later = now + timedelta(days=10)
    take_back(kit, "Evening kit", later, conditions=conditions, all_good=all_good)
    assert {part.part: part.where for part in show_kit(kit, "Evening kit").parts}["dust cap"] == where


def test_a_part_can_move_to_another_kit(kit: Database, now: datetime) -> None:
    remove_part(kit, "Evening kit", "Wide 25", "wanted elsewhere", now)
    add_kit(kit, "Second kit", ["Bracken"], now)
    page = add_part(kit, "Second kit", "wide 25", now)
    assert [part.part for part in page.parts] == ["Bracken", "Wide 25"]
