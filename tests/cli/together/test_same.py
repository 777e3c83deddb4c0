"""Two records that are one: looked at, asked about, done and undone."""

import io

import pytest

from tests.cli.program import Program, Terminal


def test_look_then_yes_then_undo(in_club: Program) -> None:
    in_club.must("mount", "add", "Hern", "--type", "german", "--controller", "shift")
    looked = in_club.must("same", "Heron", "Hern", "--look")
    assert looked.out == "Nothing was changed. Hern would be Heron.\n"
    in_club.must("mount", "show", "Hern")
    assert in_club.must("same", "Heron", "Hern", "--yes").out.startswith("Hern is Heron now.\n")
    assert len(in_club.must("mount", "list", "--json").document) == 3
    in_club.must("undo")
    in_club.must("mount", "show", "Hern")


def test_it_is_asked_about_and_refused_where_nobody_is_there(
    in_club: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("yes\n"))
    assert in_club("same", "Ines", "Bram Ostler").code == 2
    monkeypatch.setattr("sys.stdin", Terminal("no\n"))
    assert in_club("same", "Ines", "Bram Ostler").code == 1
    monkeypatch.setattr("sys.stdin", Terminal("yes\n"))
    asked = in_club.must("same", "Ines", "Bram Ostler")
    assert "Bram Ostler would be Ines; nothing is recorded under that name." in asked.err
