"""What an item is: by its word, by the record, by its columns; and what can be meant by none of them."""

from typing import Any

import pytest

from obslog.exchange.spreadsheets.item_kinds import NotOfThisKind, WhatIsIt, kind_of, told_of_kind
from obslog.exchange.spreadsheets.reading import ValueRow
from obslog.vocabulary.mounts import MountType


def row(**values: Any) -> ValueRow:
    return ValueRow(2, values)


@pytest.mark.parametrize(
    ("said", "mount_type"),
    [
        ("Dobsonian", MountType.ALTAZ), ("Dobsonian mount", MountType.ALTAZ), ("Fork mount", MountType.FORK),
        ("GEM", MountType.GERMAN), ("German mount", MountType.GERMAN), ("Equatorial", None), ("EQ mount", None),
    ],
)  # fmt: skip
def test_a_word_for_a_type_of_mount_says_that_it_is_one_and_which(
    said: str, mount_type: MountType | None
) -> None:
    heavy = row(kind=said)
    assert kind_of(heavy, "Heavy", []) == ("mount", None)
    assert told_of_kind(heavy, "Heavy", "mount", None).get("mount_type") == mount_type


def test_a_word_of_one_s_own_is_the_category_of_an_item() -> None:
    assert kind_of(row(kind="Red  Lamp"), "Lamp 2", []) == ("item", "red lamp")
    assert kind_of(row(category="Telescope"), "Long", []) == ("tube", None)


def test_the_record_says_what_an_item_is_before_its_columns_do() -> None:
    wide = row(focal_mm=25.0, field_deg=50.0)
    assert kind_of(wide, "Wide", ["item"]) == ("item", None)
    assert kind_of(wide, "Wide", []) == ("eyepiece", None)


@pytest.mark.parametrize(
    ("values", "on_record", "why"),
    [
        ({}, [], "it is not said what it is"),
        ({"focal_mm": 25.0}, [], "it is not said what it is"),
        ({"kind": "eyepiece case"}, [], "may be the item itself, or something that belongs to one"),
        ({"note": "x"}, ["mount", "tube"], "there is a mount and a tube of that name"),
    ],
)
def test_what_cannot_be_told_is_asked_for(values: dict[str, Any], on_record: list[str], why: str) -> None:
    with pytest.raises(WhatIsIt, match=why):
        kind_of(row(**values), "Wren", on_record)


def test_a_column_of_another_kind_is_refused() -> None:
    with pytest.raises(NotOfThisKind, match="Wren is a mount, but aperture_mm is of a tube"):
        told_of_kind(row(aperture_mm=80.0), "Wren", "mount", None)
