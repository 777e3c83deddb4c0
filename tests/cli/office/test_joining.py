"""Joining two spellings is shown and asked about first; this machine follows."""

import io

import pytest

from tests.cli.program import Program, Terminal


def test_look_then_yes_then_undo(in_club: Program) -> None:
    in_club.must("member", "add", "Inés")
    in_club.must("member", "me", "Inés")
    looked = in_club.must("member", "same", "Ines", "Inés", "--look")
    assert "Nothing was changed. Inés would be Ines." in looked.out
    in_club.must("member", "show", "Inés")
    done = in_club.must("member", "same", "Ines", "Inés", "--yes")
    assert "Inés is Ines now." in done.out
    assert "also written Inés" in done.out
    assert in_club.must("member", "me").out == "You are Ines.\n"
    in_club.must("undo")
    in_club.must("member", "show", "Inés")


def test_it_is_asked_about_and_refused_where_nobody_is_there(
    in_club: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("yes\n"))
    answer = in_club("member", "same", "Ines", "Bram Ostler")
    assert answer.code == 2
    assert "cannot be undone" not in answer.err
    monkeypatch.setattr("sys.stdin", Terminal("no\n"))
    assert in_club("member", "same", "Ines", "Bram Ostler").code == 1
    in_club.must("member", "show", "Bram Ostler")
    monkeypatch.setattr("sys.stdin", Terminal("yes\n"))
    asked = in_club.must("member", "same", "Ines", "Bram Ostler")
    assert "Bram Ostler would be Ines; nothing is recorded under that name." in asked.err
