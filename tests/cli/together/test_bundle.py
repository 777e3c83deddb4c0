"""A bundle is written from the command line, whole or in part."""

from pathlib import Path

from tests.cli.program import Program


def test_what_was_written_is_told_with_what_to_do_next(two_laptops: Program) -> None:
    done = two_laptops.must("--db", "a.db", "bundle", "write", "a.bundle")
    assert done.out.startswith("a.bundle: 11 acts, 11 changes; ")
    assert "On the other laptop: obslog merge a.bundle" in done.err
    again = two_laptops("--db", "a.db", "bundle", "write", "a.bundle")
    assert again.code == 1
    assert "a.bundle is there already." in again.err
    nothing = two_laptops("--db", "a.db", "bundle", "write", "--new", "b.bundle")
    assert nothing.code == 1
    assert "There is nothing new to tell." in nothing.err
    assert not Path("b.bundle").exists()


def test_a_private_site_is_told_of_and_written_as_json(two_laptops: Program) -> None:
    two_laptops.must("--db", "a.db", "site", "edit", "Mill Field", "--private")
    done = two_laptops.must("--db", "a.db", "bundle", "write", "a.bundle", "--json")
    assert done.document.keys() == {"file", "acts", "changes", "records", "bytes", "private_kept"}
    assert done.document["private_kept"] is True
    shown = two_laptops.must("--db", "a.db", "site", "show", "Mill Field", "--json")
    assert shown.document["private"] is True
    two_laptops.must("--db", "a.db", "site", "edit", "Mill Field", "--not-private")
    open_ = two_laptops.must("--db", "a.db", "bundle", "write", "b.bundle", "--json")
    assert open_.document["private_kept"] is False


def test_what_to_write_is_said_once(two_laptops: Program) -> None:
    answer = two_laptops("--db", "a.db", "bundle", "write", "a.bundle", "--new", "--since", "2026-03-02")
    assert answer.code == 2
    assert "said twice" in answer.err
