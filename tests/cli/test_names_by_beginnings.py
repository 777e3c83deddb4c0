"""Names of every kind by a beginning, the whole name said back; whole names where an act is not lightly taken back."""

from pathlib import Path

import pytest

from tests.cli.program import Program


@pytest.fixture
def night(in_club: Program) -> Program:
    in_club.must("night", "start", "mill", "--with", "ost")
    in_club.must("setup", "start", "hero", "--tube", "lo", "--observer", "ines", "--eyepiece", "wid")
    return in_club


def test_a_night_and_a_set_up_by_beginnings_say_the_whole_names_back(in_club: Program) -> None:
    shown = in_club.must("night", "start", "kest", "--with", "ost", "--with", "in").out
    assert all(name in shown for name in ("Kestrel Ridge", "Bram Ostler", "Ines"))
    begun = in_club.document("setup", "start", "hero", "-t", "lo", "-o", "ost", "-e", "25")
    assert [begun[name] for name in ("mount", "tube", "observer", "eyepiece", "site")] == [
        "Heron", "Long tube", "Bram Ostler", "Wide 25", "Kestrel Ridge",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("words", "whole"),
    [
        ("service add brac greased", "Bracken"),
        ("snag add key-in the clock --mount thi", "Thistle"),
        ("checklist thi --site kes --tick ass", "assemble: done (Thistle, Kestrel Ridge)"),
        ("service battery batt --rest-volts 12.6", "Lead battery"),
        ("mount edit her --note firm", "Heron"),
        ("setup end her", "Heron"),
        ("store note lead --place shelf", "Lead battery"),
        ("loan out batt ost", "Bram Ostler"),
        ("loan reserve batt ost", "Bram Ostler"),
        ("optics lo sto", "Long tube with Stop 20"),
        ("rule set due-s 14", "due-soon-days"),
    ],
)
def test_an_act_by_a_beginning_says_the_whole_name_back(night: Program, words: str, whole: str) -> None:
    assert whole in night.must(*words.split()).out


@pytest.mark.parametrize(
    ("words", "undone"),
    [
        ("night start kest", "start the night at Kestrel Ridge"),
        ("setup start bra --site mil", "start a set-up of Bracken"),
        ("setup end her", "end the set-up Heron"),
        ("setup edit her --tube lo --note wet", "correct the set-up Heron"),
        ("service add brac greased", "note a service of Bracken"),
        ("loan out batt ost", "lend Lead battery to Bram Ostler"),
        ("loan reserve batt ost", "reserve Lead battery for Bram Ostler"),
        ("checklist thi --site kes --tick ass", "tick assemble of Thistle"),
        ("store missing batt", "Lead battery is missing"),
        ("member edit ost --note key", "edit member Bram Ostler"),
    ],
)
def test_undo_says_the_whole_names(night: Program, words: str, undone: str) -> None:
    night.must(*words.split())
    assert night.document("undo") == {"undone": undone}


@pytest.mark.parametrize(
    ("words", "whole"),
    [
        ("member leave ost --yes", '"Bram Ostler"'),
        ("member leave ost --look", '"Bram Ostler"'),
        ("member retire ost", '"Bram Ostler"'),
        ("member edit ost --rename Bram", '"Bram Ostler"'),
        ("member contact ost --phone 1", '"Bram Ostler"'),
        ("mount retire bra", "Bracken"),
        ("store write-off batt --why lost", '"Lead battery"'),
    ],
)
def test_what_is_not_lightly_taken_back_asks_for_the_whole_name(
    in_club: Program, words: str, whole: str
) -> None:
    answer = in_club(*words.split())
    assert answer.code == 2
    assert answer.err.endswith(f"A beginning is not enough for this. Type the whole name: {whole}\n")


def test_of_several_that_fit_they_are_listed(in_club: Program) -> None:
    in_club.must("mount", "add", "Hern Hill", "--type", "german", "--controller", "shift")
    answer = in_club("mount", "show", "he")
    assert answer.code == 2
    assert answer.error_lines == ["'he' may be Hern Hill or Heron.", "Type more of it."]
    assert "Hern Hill" in in_club.must("mount", "show", "hill").out


def test_a_new_name_may_begin_as_another(in_club: Program) -> None:
    in_club.must("member", "add", "Bram")
    assert in_club.document("member", "show", "bram")["name"] == "Bram"


def test_a_label_of_a_kit_is_no_item_that_begins_so(in_club: Program) -> None:
    made = in_club.document("kit", "add", "Box", "--part", "wide", "--part", "Stop 20")
    assert [(part["part"], part["kind"]) for part in made["parts"]] == [
        ("wide", None),
        ("Stop 20", "eyepiece"),
    ]


def test_words_of_a_list_by_a_beginning(night: Program) -> None:
    told = night.document("sync", "Vega", "3E", "2N", "--pier", "w", "--sure")
    assert told["arrival"]["pier_side"] == "west"
    answer = night("snag", "add", "p", "too", "late")
    assert answer.code == 2
    assert answer.error_lines[0] == "'p' may be pack, power or polar-axis."


def test_one_observer_under_two_beginnings_has_one_entry(night: Program) -> None:
    seen = night.document("saw", "M", "81", "-o", "ine", "-o", "Ines", "-o", "ost")
    assert [entry["observer"] for entry in seen["entries"]] == ["Ines", "Bram Ostler"]


def test_a_photograph_says_of_what_it_is(in_club: Program, tmp_path: Path) -> None:
    photo = tmp_path / "dent.jpg"
    photo.write_bytes(b"a dent")
    assert (
        in_club.must("store", "photo", "her", "--check", str(photo)).out
        == "dent.jpg is not on record for Heron.\n"
    )
    assert in_club.must("store", "photo", "her", str(photo)).out.startswith("dent.jpg: added to Heron\n")
    assert in_club.must("store", "photo", "her", "--check", str(photo)).out == (
        "dent.jpg is on record for Heron as dent.jpg.\n"
    )
    assert set(in_club.document("store", "photo", "her", str(photo))) == {
        "file_name",
        "sha256",
        "taken_on",
        "new",
    }
