"""Kits at the keyboard: parts that are put in, taken out and replaced, on the screen and for scripts."""

from typing import Any

import pytest

from tests.cli.program import Program

KIT = "Evening kit"


@pytest.fixture
def kits(in_club: Program) -> Program:
    """The small club with an evening kit of a mount, an eyepiece and a cap."""
    in_club.must("kit", "add", KIT, "--part", "Heron", "--part", "Wide 25", "--part", "dust cap")
    return in_club


def parts(page: Any) -> list[tuple[str, str | None, str]]:
    return [(part["part"], part["kind"], part["where"]) for part in page["parts"]]


WHOLE = [
    ("Heron", "mount", "in the store"),
    ("Wide 25", "eyepiece", "in the store"),
    ("dust cap", None, "in the store"),
]


def test_an_item_is_put_into_a_kit_under_its_own_name_and_a_label_as_it_is_typed(kits: Program) -> None:
    page = kits.document("kit", "put", "evening KIT", "STOP 20")
    assert parts(page) == [*WHOLE, ("Stop 20", "eyepiece", "in the store")]
    page = kits.document("kit", "put", KIT, "Red Torch")
    assert parts(page)[-1] == ("Red Torch", None, "in the store")
    assert kits.document("kit", "show", KIT) == page


def test_what_is_put_in_twice_or_is_in_another_kit_is_refused(kits: Program) -> None:
    kits.must("kit", "add", "Box", "--part", "Stop 20")
    for words in (("dust CAP",), ("wide 25",), ("Stop 20",), ("Stop 21", "--kind", "eyepiece")):
        answer = kits("kit", "put", KIT, *words)
        assert (answer.code, len(answer.error_lines)) in ((1, 2), (2, 2)), words
    assert "Box" in kits("kit", "put", KIT, "Stop 20").err
    assert parts(kits.document("kit", "show", KIT)) == WHOLE


def test_an_item_taken_out_stays_on_record_and_can_join_another_kit(kits: Program) -> None:
    page = kits.document("kit", "remove", KIT, "wide 25", "--why", "wanted elsewhere")
    assert parts(page) == [WHOLE[0], WHOLE[2]]
    assert page["complete"] is True
    assert kits.document("eyepiece", "show", "Wide 25")["name"] == "Wide 25"
    assert parts(kits.document("kit", "add", "Box", "--part", "Wide 25")) == [WHOLE[1]]
    kits.must("undo")
    kits.must("undo")
    assert parts(kits.document("kit", "show", KIT)) == WHOLE


def test_what_is_not_in_the_kit_cannot_be_taken_out(kits: Program) -> None:
    for words in (
        ("remove", KIT, "Stop 20"),
        ("replace", KIT, "Stop 20", "Wide 25"),
        ("remove", "Box", "Heron"),
    ):
        answer = kits("kit", *words)
        assert (answer.code, len(answer.error_lines)) == (2, 2)
    assert parts(kits.document("kit", "show", KIT)) == WHOLE


def test_a_part_is_replaced_in_one_act(kits: Program) -> None:
    page = kits.document("kit", "replace", KIT, "Wide 25", "stop 20")
    assert parts(page) == [WHOLE[0], WHOLE[2], ("Stop 20", "eyepiece", "in the store")]
    assert "replace Wide 25 of the kit Evening kit by stop 20" in kits.must("undo").out
    assert parts(kits.document("kit", "show", KIT)) == WHOLE


def test_a_kit_of_which_a_part_is_elsewhere_is_not_complete(kits: Program) -> None:
    kits.must("loan", "out", "Wide 25", "Ines")
    page = kits.document("kit", "show", KIT)
    assert (page["complete"], parts(page)[1][2], page["with_whom"]) == (False, "on loan", None)
    assert kits.must("kit", "show", KIT).out.splitlines()[0] == (
        "Evening kit: not complete; lent for the club's usual term"
    )
    assert "with Ines" in kits.must("kit", "show", KIT, "--officer").out
    kits.must("loan", "out", KIT, "Bram Ostler")
    page = kits.document("kit", "show", KIT, "--officer")
    assert (page["complete"], page["with_whom"]) == (False, "Bram Ostler")
    kits.must("loan", "back", "Wide 25")
    assert kits.document("kit", "show", KIT)["complete"] is True  # in the store, or out with the kit
    kits.must("loan", "out", "Wide 25", "Ines")
    kits.must("loan", "back", KIT)
    assert kits.document("kit", "show", KIT)["complete"] is False


def test_weight_and_term_are_told_where_they_are_known(kits: Program) -> None:
    kits.must("kit", "edit", KIT, "--weight-kg", "9.5", "--loan-days", "14")
    first = kits.must("kit", "show", KIT).out.splitlines()[0]
    assert first == "Evening kit: complete; lent for 14 days; 9.5 kg"
    kits.must("loan", "out", KIT, "Ines")
    assert kits.must("kit", "show", KIT).out.splitlines()[1] == "on loan, due 2026-03-16"
    assert kits.must("kit", "list").out.splitlines()[0].split("\t") == ["kit", "parts", "complete", "due"]
