"""Snags from the command line."""

from tests.cli.program import Program


def test_a_snag_is_named_by_its_reference_and_mended(outside: Program) -> None:
    added = outside.document("snag", "add", "level", "a", "leg", "sank")
    assert (added["text"], added["about"], added["member"]) == ("a leg sank", "Heron", "Ines")
    listed = outside.must("snag", "list").out
    assert "reference" in listed
    assert added["reference"] in listed
    assert (
        "remedy: a board below"
        in outside.must("snag", "fix", added["reference"][:4], "a", "board", "below").out
    )
    assert outside.document("snag", "list") == []
    (mended,) = outside.document("snag", "list", "--all")
    assert mended["remedy"] == "a board below"


def test_an_unknown_reference_is_refused_with_how_to_find_it(outside: Program) -> None:
    answer = outside("snag", "fix", "000000")
    assert answer.code == 1
    assert "No snag has the reference '000000'." in answer.err
    assert "obslog snag list --all" in answer.err


def test_without_a_set_up_a_snag_says_what_it_is_about(in_club: Program) -> None:
    assert in_club("snag", "add", "level", "sank").code == 2
    assert in_club.document("snag", "add", "level", "sank", "--mount", "Heron")["about"] == "Heron"
    assert "No open snags." not in in_club.must("snag", "list").err
