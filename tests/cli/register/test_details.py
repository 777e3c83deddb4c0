"""The details of a kind, asked for when it is added and when it is edited."""

import pytest

from tests.cli.program import Program

NEEDED = [
    ("mount", "--type", ["--controller", "shift"]),
    ("mount", "--controller", ["--type", "german"]),
    ("tube", "--focal-mm", ["--aperture-mm", "212"]),
    ("eyepiece", "--field-deg", ["--focal-mm", "25"]),
]


@pytest.mark.parametrize(("kind", "missing", "given"), NEEDED)
def test_what_a_kind_needs_is_asked_for_when_it_is_added(
    in_club: Program, kind: str, missing: str, given: list[str]
) -> None:
    answer = in_club(kind, "add", "New one", *given)
    assert answer.code == 2
    assert missing in answer.err


def test_an_edit_changes_what_is_given_and_leaves_the_rest(in_club: Program) -> None:
    words = ("--focal-mm", "12.5", "--field-deg", "60", "--note", "scratched")
    added = in_club.document("eyepiece", "add", "Wide 12", *words)
    assert (added["focal_mm"], added["field_deg"], added["field_stop_mm"]) == (12.5, 60.0, None)
    edited = in_club.document("eyepiece", "edit", "wide 12", "--field-stop-mm", "13", "--rename", "Wide 12.5")
    assert edited == added | {"field_stop_mm": 13.0, "name": "Wide 12.5"}
    assert in_club("eyepiece", "edit", "Wide 12.5").code == 2


def test_no_is_an_answer_and_saying_nothing_is_not(in_club: Program) -> None:
    options = ("--type", "fork", "--controller", "model", "--refraction")
    assert in_club.document("mount", "add", "Rook", *options)["refraction"] is True
    assert in_club.document("mount", "edit", "Rook", "--note", "old")["refraction"] is True
    assert in_club.document("mount", "edit", "Rook", "--no-refraction")["refraction"] is False


def test_an_item_needs_no_more_than_its_name(in_club: Program) -> None:
    assert in_club.document("item", "add", "Red torch")["name"] == "Red torch"
    assert in_club.document("item", "edit", "Red torch", "--category", "light")["sort"] == "light"
