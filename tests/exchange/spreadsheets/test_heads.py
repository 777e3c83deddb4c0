"""Heads as people write them."""

import pytest

from obslog.exchange.spreadsheets.columns import kinds
from obslog.exchange.spreadsheets.grid import Cell, Row
from obslog.exchange.spreadsheets.heads import NoHead, TwoHeads, head_form, head_of

ITEMS = kinds()["items"]


def rows(*lines: list[Cell]) -> list[Row]:
    return [Row(number, cells) for number, cells in enumerate(lines, start=1)]


@pytest.mark.parametrize(
    ("written", "form"),
    [
        ("E-Mail:", "e mail"),
        ("  Focal length (mm) ", "focal length mm"),
        ("Größe", "große".casefold().replace("ß", "ss")),
        ("Téléphone", "telephone"),
        (None, ""),
        (2026.0, ""),
    ],
)
def test_a_head_is_compared_without_capitals_accents_and_signs(written: Cell, form: str) -> None:
    assert head_form(written) == form


def test_the_head_may_stand_below_a_title_and_in_any_order() -> None:
    found = head_of(
        "s", rows(["Our equipment"], [None, "Serial No.", "Item name"], ["x", "1", "Heron"]), ITEMS
    )
    assert (found.row, found.places) == (2, {"serial": 1, "name": 2})


@pytest.mark.parametrize("title", [["Equipment"], ["Equipment"] * 3])
def test_a_title_that_could_be_a_head_is_none_where_a_row_below_names_more(title: list[Cell]) -> None:
    """One cell, or merged over the row."""
    found = head_of("s", rows(title, ["Item", "Tag no", "Price"], ["Heron", "C-1", "5"]), ITEMS)
    assert (found.row, found.places) == (2, {"name": 0, "tag": 1, "cost": 2})


def test_of_two_rows_that_name_as_many_the_first_is_the_head() -> None:
    assert head_of("s", rows(["name", "tag"], ["name", "tag"]), ITEMS).row == 1


def test_a_head_that_is_not_known_is_told_with_what_it_may_mean() -> None:
    found = head_of("s", rows(["name", "seriel", "Insurance class", "values"]), ITEMS)
    assert found.unknown == {
        "seriel": "serial",
        "Insurance class": found.unknown["Insurance class"],
        "values": "value",
    }


def test_what_is_there_already_is_not_proposed_again() -> None:
    assert head_of("s", rows(["name", "serial", "seriel"]), ITEMS).unknown == {"seriel": None}


def test_two_heads_for_one_column_are_refused() -> None:
    with pytest.raises(TwoHeads, match="'Price' and 'Cost' both mean 'cost'"):
        head_of("s", rows(["name", "Price", "Cost"]), ITEMS)


def test_a_sheet_without_a_head_is_refused_with_the_needed_names() -> None:
    with pytest.raises(NoHead, match="'item', 'member' and 'out_on'"):
        head_of("s", rows(["Heron", "Ines"], ["Wren", "Bram"]), kinds()["loans"])


def test_the_row_that_names_some_of_the_needed_columns_is_told_with_what_it_lacks() -> None:
    with pytest.raises(NoHead) as refused:
        head_of("s", rows(["Loans"], ["Item", "Member", "Since when"], ["Heron", "Ines"]), kinds()["loans"])
    assert "Row 2 comes nearest (Item, Member, Since when) and lacks 'out_on'" in refused.value.hint


def test_no_row_is_told_where_none_names_a_column() -> None:
    with pytest.raises(NoHead) as refused:
        head_of("s", rows(["Heron", "Ines"]), kinds()["loans"])
    assert refused.value.hint == "See what each may be called: obslog import loans --columns"


def test_a_head_is_looked_for_in_the_first_rows_only() -> None:
    titles: list[list[Cell]] = [["title"]]
    with pytest.raises(NoHead):
        head_of("s", rows(*(titles * 20), ["name"]), ITEMS)
