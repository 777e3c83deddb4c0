"""What two laptops contradict each other in: listed, chosen, dropped, within 80 columns."""

import pytest

from tests.cli.program import Program


@pytest.fixture
def merged(two_laptops: Program) -> Program:
    """Both have lent the battery and noted something of Ines; a.db has merged what b.db says."""
    for name, borrower, note in (("a.db", "Ines", "tall"), ("b.db", "Bram Ostler", "small")):
        two_laptops.must("--db", name, "loan", "out", "Lead battery", borrower)
        two_laptops.must("--db", name, "member", "edit", "Ines", "--note", note)
    two_laptops.must("--db", "b.db", "bundle", "write", "b.bundle")
    told = two_laptops.must("--db", "a.db", "merge", "b.bundle")
    assert "Fields that two laptops wrote: 1. See them: obslog conflicts" in told.err
    return two_laptops


def test_both_kinds_are_listed_and_settled(merged: Program) -> None:
    listed = merged.must("--db", "a.db", "conflicts")
    assert "1 field that two laptops wrote:" in listed.out
    assert "lost: tall (somebody, " in listed.out
    assert "To be settled:" in listed.out
    document = merged.must("--db", "a.db", "conflicts", "--json").document
    (field,), (loan,) = document["fields"], document["to_settle"]
    chosen = merged.must("--db", "a.db", "conflicts", "choose", field["reference"])
    assert chosen.out == "Chosen: tall for the note of Ines.\n"
    dropped = merged.must("--db", "a.db", "conflicts", "drop", loan["reference"])
    assert dropped.out.startswith("Dropped: the loan of Lead battery to Bram Ostler since ")
    assert merged.must("--db", "a.db", "conflicts").out == "No two laptops contradict each other.\n"


def test_what_stands_is_kept_and_listed_no_more(merged: Program) -> None:
    listed = merged.must("--db", "a.db", "conflicts")
    assert "To keep what stands, and list it no more: obslog conflicts keep REFERENCE" in listed.err
    (field,) = merged.must("--db", "a.db", "conflicts", "--json").document["fields"]
    kept = merged.must("--db", "a.db", "conflicts", "keep", field["reference"])
    assert kept.out == "Kept: small for the note of Ines.\n"
    assert "that two laptops wrote" not in merged.must("--db", "a.db", "conflicts").out
    told = merged.must("--db", "a.db", "history", "Ines").out
    assert told.endswith("\nkept\n")


def test_whose_value_gave_way_is_told_to_be_one_with_another_where_they_are(merged: Program) -> None:
    merged.must("--db", "a.db", "same", "Bram Ostler", "Ines", "--sure", "--yes")
    told = merged.must("--db", "a.db", "conflicts").out
    assert "Ines, note" in told
    assert "was made one with Bram Ostler" in told
    assert "was removed" not in told
    assert "lost: tall (somebody, " in told


def test_a_reference_is_missed_and_a_wrong_one_refused(merged: Program) -> None:
    assert "obslog conflicts choose REFERENCE" in merged("--db", "a.db", "conflicts", "choose").err
    assert merged("--db", "a.db", "conflicts", "choose", "abcdef").code == 2


def test_what_waited_for_the_return_is_told_to_be_out_again(merged: Program) -> None:
    back = merged.must("--db", "a.db", "loan", "back", "Lead battery")
    assert "Lead battery is out again: a loan that another laptop noted had waited for this one" in back.out
    again = merged.must("--db", "a.db", "loan", "back", "Lead battery", "--json")
    assert again.document["out_again"] is False
    assert 'take that one back too: obslog loan back "Lead battery"' in back.out
