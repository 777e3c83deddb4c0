"""Merging from the command line: looked at first, then done; what is left to people is said."""

from datetime import timedelta
from pathlib import Path

from obslog.records.care.copies_before import copy_before
from obslog.records.database import Database
from obslog.records.engine import make_engine
from tests.cli.program import Program


def test_a_look_and_then_the_merge(two_laptops: Program) -> None:
    two_laptops.must("--db", "b.db", "member", "add", "Anna")
    two_laptops.must("--db", "b.db", "bundle", "write", "b.bundle")
    looked = two_laptops.must("--db", "a.db", "merge", "b.bundle", "--look")
    assert looked.out.startswith("b.bundle: 1 act would be taken in.\n")
    assert "Nothing was changed" in looked.err
    assert two_laptops("--db", "a.db", "member", "show", "Anna").code == 2
    done = two_laptops.must("--db", "a.db", "merge", "b.bundle")
    assert done.out.splitlines()[:3] == [
        "b.bundle: 1 act taken in.",
        "records\tnew\tchanged\tgone",
        "member\t1\t0\t0",
    ]
    two_laptops.must("--db", "a.db", "member", "show", "Anna")
    (copy,) = Path().glob("a.before-merge*")
    assert f"What going back to it would lose: obslog db restore {copy.absolute()} --look" in done.err
    again = two_laptops.must("--db", "a.db", "merge", "b.bundle", "b.bundle")
    assert again.out == "b.bundle, b.bundle: all of it was on record already.\n"


def test_whose_contact_is_gone_is_said(two_laptops: Program) -> None:
    two_laptops.must("--db", "b.db", "member", "contact", "Ines", "--phone", "01632 960 417")
    two_laptops.must("--db", "b.db", "bundle", "write", "1.bundle", "--with-private")
    two_laptops.must("--db", "a.db", "merge", "1.bundle")
    two_laptops.must("--db", "b.db", "undo")
    two_laptops.must("--db", "b.db", "bundle", "write", "2.bundle", "--with-private")
    looked = two_laptops.must("--db", "a.db", "merge", "2.bundle", "--look")
    assert "The contact of Ines was removed on another laptop, and would be gone here too.\n" in looked.out
    done = two_laptops.must("--db", "a.db", "merge", "2.bundle")
    assert "The contact of Ines was removed on another laptop, and is gone here too.\n" in done.out


def test_what_is_past_keeping_of_the_copies_before_merges_goes_with_a_word(two_laptops: Program) -> None:
    path = Path("a.db").absolute()
    database = Database(make_engine(str(path)), str(path))
    days = (60, 50, 40, 30, 20)
    old = [copy_before(database, "merge", two_laptops.now - timedelta(days=n)) for n in days]
    database.close()
    for number, name in enumerate(("Anna", "Tomasz"), start=1):
        two_laptops.must("--db", "b.db", "member", "add", name)
        two_laptops.must("--db", "b.db", "bundle", "write", f"{number}.bundle")
    assert two_laptops.must("--db", "a.db", "merge", "1.bundle", "--look", "--json").document["removed"] == []
    told = two_laptops.must("--db", "a.db", "merge", "1.bundle")
    assert (
        "1 older copy from before upgrades, merges or repairs was removed; the newest 5 of each" in told.err
    )
    document = two_laptops.must("--db", "a.db", "merge", "2.bundle", "--json").document
    assert document["removed"] == [str(old[1])]
    assert [copy.exists() for copy in old if copy] == [False, False, True, True, True]


def test_json_has_all_that_came_of_it(two_laptops: Program) -> None:
    two_laptops.must("--db", "a.db", "loan", "out", "Lead battery", "Ines")
    two_laptops.must("--db", "b.db", "loan", "out", "Lead battery", "Bram Ostler")
    two_laptops.must("--db", "b.db", "bundle", "write", "b.bundle")
    document = two_laptops.must("--db", "a.db", "merge", "b.bundle", "--json").document
    assert document["done"] is True
    assert document["files"] == ["b.bundle"]
    assert [one["why"] for one in document["to_settle"]] == ["taken"]


def test_a_look_names_no_command_that_would_end_what_still_stands(two_laptops: Program) -> None:
    two_laptops.must("--db", "a.db", "loan", "out", "Lead battery", "Ines")
    two_laptops.must("--db", "b.db", "loan", "out", "Lead battery", "Bram Ostler")
    two_laptops.must("--db", "b.db", "bundle", "write", "b.bundle")
    looked = two_laptops.must("--db", "a.db", "merge", "b.bundle", "--look").out
    assert "To be settled after the merge:" in looked
    assert "cannot stand beside" in " ".join(looked.split())
    assert "obslog loan back" not in looked
    done = two_laptops.must("--db", "a.db", "merge", "b.bundle").out
    assert "To be settled:" in done
    assert 'obslog loan back "Lead battery"' in done


def test_a_look_says_of_who_left_elsewhere_what_would_be(two_laptops: Program) -> None:
    two_laptops.must("--db", "b.db", "member", "leave", "Ines", "--yes")
    two_laptops.must("--db", "b.db", "bundle", "write", "b.bundle")
    looked = two_laptops.must("--db", "a.db", "merge", "b.bundle", "--look").out
    assert "and would be Former member" in looked
    two_laptops.must("--db", "a.db", "member", "show", "Ines")
    assert "and is Former member" in two_laptops.must("--db", "a.db", "merge", "b.bundle").out


def test_a_file_that_is_no_bundle_is_refused_in_a_sentence(two_laptops: Program) -> None:
    Path("letter.txt").write_text("Dear club")
    for name in ("letter.txt", "missing.bundle"):
        answer = two_laptops("--db", "a.db", "merge", name)
        assert answer.code == 2
        assert name in answer.err
        assert "Traceback" not in answer.err
