"""Items from a sheet: what each is, what changes, and what cannot be meant."""

import pytest

from obslog.club.bring_in.give_out import sheet_rows
from obslog.club.register.rule_book import set_rule
from obslog.vocabulary.mounts import MountType
from obslog.vocabulary.storeroom import Acquired
from tests.club.bring_in.sheets import NOW, Desk, day

HEAD = (
    "name,kind,category,tag,serial,bought on,cost,value,place,focal length,aperture,apparent field,mount type"
)


def test_each_kind_comes_in_with_its_own_values_and_its_paper(desk_of_each: Desk) -> None:
    desk = desk_of_each
    found = desk.outcomes(
        "items",
        f"{HEAD},origin",
        "Wren,mount,,C-1,,2019-05-12,890,600,Shelf A,,,,GEM,bought",
        "Short tube,telescope,,C-2,,,,,,400,80,,,donated",
        "Plain 10,eyepiece,,,,,,,,10,,50,,",
        "Case 4,item,case,,,,,,,,,,,",
        "Lamp 2,red lamp,,,,,,,,,,,,",
    )
    assert [words for _, _, words in found] == [
        "mount; still to be told: controller",
        "tube",
        "eyepiece",
        "case",
        "red lamp",
    ]
    assert desk.row("items", "Wren") == {
        "name": "Wren",
        "kind": "mount",
        "tag": "C-1",
        "acquired": Acquired.BOUGHT,
        "acquired_on": day("2019-05-12"),
        "cost": 890,
        "value": 600,
        "place": "Shelf A",
        "mount_type": MountType.GERMAN,
    }
    assert desk.row("items", "Short tube") == {
        "name": "Short tube",
        "kind": "tube",
        "tag": "C-2",
        "focal_mm": 400,
        "aperture_mm": 80,
        "acquired": Acquired.GIFT,
    }
    assert desk.row("items", "Lamp 2") == {"name": "Lamp 2", "kind": "item", "category": "red lamp"}


def test_of_an_eyepiece_with_a_field_stop_no_apparent_field_is_asked(desk: Desk) -> None:
    found = desk.outcomes("items", "name,kind,focal length,field stop", "A,eyepiece,20,21", "B,eyepiece,20,")
    assert [words for _, _, words in found] == ["eyepiece", "eyepiece; still to be told: field_deg"]


def test_a_second_time_changes_nothing(desk: Desk) -> None:
    sheet = ("name,kind,tag,value", "Wren,mount,C-1,600", "Case 4,case,,", "Heron,mount,C-3,")
    desk.take("items", *sheet)
    before = desk.everything()
    assert [outcome for _, outcome, _ in desk.outcomes("items", *sheet)] == ["same", "same", "same"]
    assert desk.everything() == before


def test_what_differs_is_changed_and_told_from_what_to_what(desk: Desk) -> None:
    desk.take("items", "name,value,place", "Heron,600,Shelf A")
    assert desk.outcomes("items", "name,value,place,tag", "heron,550.5,,C-3") == [
        (2, "changed", "value 600 to 550.5, tag C-3")
    ]
    assert desk.row("items", "Heron")["place"] == "Shelf A"


def test_what_an_item_is_follows_from_the_record_or_from_its_columns(desk: Desk) -> None:
    found = desk.outcomes(
        "items", "name,aperture,apparent field,category", "Heron,,,", "Short tube,80,,", "Plain 10,,50,"
    )
    assert [(outcome, words.split(";")[0]) for _, outcome, words in found] == [
        ("same", ""),
        ("new", "tube"),
        ("new", "eyepiece"),
    ]


def test_a_focal_length_that_no_eyepiece_has_is_refused(desk: Desk) -> None:
    (found,) = desk.faults("items", "name,kind,focal length", "Plain 10,eyepiece,2000")
    assert "The focal length of the eyepiece 2000 is not between 0.5 and 1000 mm" in found


def test_a_tag_is_on_one_item(desk: Desk) -> None:
    desk.take("items", "name,tag", "Heron,C-3")
    assert desk.faults("items", "name,kind,tag", "Wren,mount,c-3", "Teal,mount,C-4", "Smew,mount,C-4") == [
        "2 tag: 'c-3' is on Heron already. Each tag is on one item.",
        "4 tag: 'C-4' is on Teal already. Each tag is on one item.",
    ]


def test_a_name_that_two_kinds_have_wants_its_kind(desk: Desk) -> None:
    desk.take("items", "name,kind", "Twin,mount", "Twin,tube")
    assert "there is a mount and a tube of that name" in desk.faults("items", "name,note", "Twin,x")[0]


def test_a_valuation_goes_with_its_value(desk: Desk) -> None:
    desk.take("items", "name,kind,value,date of valuation,valuer", "Wren,mount,600,2024-05-01,Ines")
    wren = desk.row("items", "Wren")
    assert (wren["value"], wren["valued_on"]) == (600, day("2024-05-01"))
    assert wren["valued_by"] == "Ines"
    assert all("valued_by" not in row for row in sheet_rows(desk.database, "items"))  # for the officer alone
    desk.take("items", "name,kind,value", "Wren,mount,600")
    assert desk.row("items", "Wren")["valued_on"] == day("2024-05-01")
    desk.take("items", "name,kind,value", "Wren,mount,650")
    assert "valued_on" not in desk.row("items", "Wren")
    assert desk.faults("items", "name,kind,valued on", "Owl,mount,2024-05-01") == [
        "2 valued_on: It is not said what the value is. Write it in a column headed 'value'."
    ]


@pytest.mark.parametrize("column", ["tag", "serial"])
def test_two_things_of_one_name_are_not_made_one(desk: Desk, column: str) -> None:
    """An untidy list has two eyepieces called 25mm: the second must not take the first one's place."""
    (fault,) = desk.faults("items", f"name,kind,{column}", "25mm,eyepiece,4", "25mm,eyepiece,5")
    assert fault.startswith("3 name: row 2 has another 25mm with the ")
    assert "'4', this one '5'. Give each a name of its own, such as '25mm (5)'." in fault


def test_a_row_that_adds_to_one_above_is_the_same_thing(desk: Desk) -> None:
    desk.take(
        "items", "name,kind,tag,note", "25mm,eyepiece,4,", "25mm,eyepiece,4,scratched", "25mm,eyepiece,,"
    )
    row = desk.row("items", "25mm")
    assert (row["tag"], row["note"]) == ("4", "scratched")
    desk.take("items", "name,kind,tag", "25mm,eyepiece,5")  # another sheet, another day: a new tag
    assert desk.row("items", "25mm")["tag"] == "5"


@pytest.mark.parametrize("said", ["EQ mount", "Alt-az mount", "German equatorial mount"])
def test_a_mount_may_be_called_by_its_make(desk: Desk, said: str) -> None:
    desk.take("items", "Description,Type,Make/Model,Bought", f"Heavy,{said},own make,23.10.2016")
    row = desk.row("items", "Heavy")
    assert (row["kind"], row["model"], row["acquired_on"]) == ("mount", "own make", day("2016-10-23"))


def test_a_type_in_its_own_column_stands_before_the_word_for_the_item(desk: Desk) -> None:
    desk.take("items", "name,kind,mount type", "Heavy,fork mount,german")
    assert desk.row("items", "Heavy")["mount_type"] == MountType.GERMAN


def test_amounts_of_another_currency_than_the_club_s_are_a_fault(desk: Desk) -> None:
    set_rule(desk.database, "currency", "GBP", NOW)
    assert desk.faults("items", "name,kind,value", "Wren,mount,£600", 'Teal,mount,"45,50 €"') == [
        "3 value: '45,50 €' is not in GBP, the club's currency. Write the amount in GBP, without a sign."
    ]
