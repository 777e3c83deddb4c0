"""Members: their list and pages, read back at every width; how they are reached only with --officer."""

import pytest

from tests.cli.program import Program, written_once
from tests.cli.register.test_equipment import shown_at_each_width, words_of

TYPED = [
    "member add Noor", "member add Ines --note|has a key|", "member add Bram --note|new; borrows often|",
    "member contact Noor --phone|01632 960 123|--address|3 Otter Row|",
    "member contact Ines --email ines@okafor.example",
    "member retire Bram --why moved --on 2026-02-04",
]  # fmt: skip


@pytest.fixture
def kept(program: Program) -> Program:
    """Three members, one of them retired, two of them reached in different ways."""
    return written_once(program, type_kept)


def type_kept(program: Program) -> None:
    for line in TYPED:
        program.must(*words_of(line))


def test_members_stand_by_name_without_contacts_and_the_retired(kept: Program) -> None:
    for shown in shown_at_each_width(kept, "member", "list"):
        assert "Bram" not in shown.words
        assert [list(row.values()) for row in shown.rows("name", "note")] == [
            ["Ines", "has a key"], ["Noor", ""],
        ]  # fmt: skip
    for shown in shown_at_each_width(kept, "member", "list", "--all"):
        assert [list(row.values()) for row in shown.rows("name", "note", "retired")] == [
            ["Bram", "new; borrows often", "2026-02-04"], ["Ines", "has a key", ""], ["Noor", "", ""],
        ]  # fmt: skip


def test_the_officer_sees_how_each_is_reached_in_its_own_column(kept: Program) -> None:
    columns = ("name", "note", "phone", "email", "address")
    for shown in shown_at_each_width(kept, "member", "list", "--officer"):
        rows = {row["name"]: row for row in shown.rows(*columns)}
        assert list(rows) == ["Ines", "Noor"]
        assert list(rows["Ines"].values())[1:] == ["has a key", "", "ines@okafor.example", ""]
        assert list(rows["Noor"].values())[1:] == ["", "01632 960 123", "", "3 Otter Row"]
    for shown in shown_at_each_width(kept, "member", "list", "--officer", "--all"):
        assert [row["retired"] for row in shown.rows(*columns, "retired")] == ["2026-02-04", "", ""]


def test_a_page_says_what_is_unknown_and_has_contacts_only_for_the_officer(kept: Program) -> None:
    for shown in shown_at_each_width(kept, "member", "show", "noor"):
        assert shown.fields() == {"name": "Noor"}
    for shown in shown_at_each_width(kept, "member", "show", "noor", "--officer"):
        assert shown.fields() == {
            "name": "Noor", "phone": "01632 960 123", "email": "unknown", "address": "3 Otter Row",
        }  # fmt: skip
    for shown in shown_at_each_width(kept, "member", "show", "Bram"):
        assert shown.fields() == {
            "name": "Bram", "note": "new; borrows often", "retired": "2026-02-04", "because": "moved",
        }  # fmt: skip


def test_which_ways_are_on_record_is_said_and_not_what_they_are(kept: Program) -> None:
    for phone, told in (("1", "phone, address"), ("", "address")):
        answer = kept.must("member", "contact", "Noor", "--phone", phone)
        assert answer.out == f"Noor, on record: {told}\n"
    assert kept.must("member", "contact", "Noor", "--address", "").out == "Noor, on record: nothing\n"
    assert kept.document("member", "edit", "Noor", "--rename", "Noor El", "--note", "n")["name"] == "Noor El"
    assert kept.document("member", "list")[1] == {
        "name": "Noor El", "note": "n", "retired_on": None, "retired_why": None
    }  # fmt: skip


def test_whoever_renames_themselves_is_known_by_the_new_name_on_this_machine(kept: Program) -> None:
    """A slip in start put 52 on record as whom one is; when it was corrected the program knew nobody any more."""
    kept.must("member", "add", "52")
    kept.must("member", "me", "52")
    renamed = kept.must("member", "edit", "52", "--rename", "Runa")
    assert "You are Runa on this machine now." in renamed.err
    assert kept.document("member", "me") == {"me": "Runa", "on_record": True, "from_environment": False}
    kept.must("member", "edit", "Noor", "--rename", "Noor El")
    assert kept.document("member", "me")["me"] == "Runa"
