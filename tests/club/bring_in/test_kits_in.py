"""Kits from a sheet, with their parts."""

from tests.club.bring_in.sheets import Desk


def test_a_kit_comes_in_with_items_and_labels_in_one_cell_or_in_rows(desk_of_each: Desk) -> None:
    desk = desk_of_each
    desk.take(
        "kits",
        "Kit,Contents,Days,Weight",
        "Beginner's kit,heron; dust cap,28,18.5",
        "Beginner's kit,Wide 25,,",
        "Small kit,,,",
    )
    assert desk.rows("kits") == [
        {"name": "Beginner's kit", "parts": "Heron; dust cap; Wide 25", "loan_days": 28, "weight_kg": 18.5},
        {"name": "Small kit"},
    ]


def test_a_second_time_changes_nothing_and_a_part_more_joins(desk: Desk) -> None:
    sheet = ("kit,parts", "Big kit,Heron; dust cap")
    desk.take("kits", *sheet)
    before = desk.everything()
    assert desk.outcomes("kits", *sheet) == [(2, "same", "")]
    assert desk.everything() == before
    assert desk.outcomes("kits", "kit,parts,term", "BIG KIT,Long tube,14") == [
        (2, "changed", "loan_days 14; with Long tube")
    ]
    assert desk.row("kits", "Big kit")["parts"] == "Heron; dust cap; Long tube"


def test_a_kit_that_is_named_in_its_first_row_alone_is_told_to_be_named_in_each(desk: Desk) -> None:
    assert desk.faults("kits", "kit,part", "Big kit,Heron", ",dust cap") == [
        "3 name: is blank, but it is needed. Repeat it in each row of the kit."
    ]


def test_an_item_is_in_one_kit(desk: Desk) -> None:
    desk.take("kits", "kit,parts", "Big kit,Heron")
    found = desk.faults("kits", "kit,parts", "Small kit,heron", "One kit,Wide 25", "Other kit,Wide 25")
    assert [fault.partition(". Take it out")[0] for fault in found] == [
        "2 parts: Heron is a part of the kit Big kit",
        "4 parts: Wide 25 is a part of the kit One kit",
    ]
