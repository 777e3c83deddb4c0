"""The pages of the store-room, a member and the club at the keyboard, and what they keep to themselves."""

from pathlib import Path

import pytest

from tests.cli.program import Program, written_once

BORROWER, WAITING = "Zebedee Quill", "Philomena Vane"


@pytest.fixture
def lending(outside: Program) -> Program:
    """Two members who were never out: one has the tube, the other waits for it."""
    return written_once(outside, _type_lending)


def _type_lending(program: Program) -> None:
    program.must("member", "add", BORROWER)
    program.must("member", "add", WAITING)
    program.must("loan", "out", "Lead battery", BORROWER, "--on", "2026-02-01")
    program.must("loan", "reserve", "Lead battery", WAITING)


def text_of(program: Program, page: Path, *words: str) -> str:
    program.must(*words, "--out", str(page))
    return page.read_text(encoding="utf-8")


@pytest.mark.parametrize("kind", ["store", "club"])
def test_borrowers_are_named_to_the_officer_alone(lending: Program, tmp_path: Path, kind: str) -> None:
    page = tmp_path / "page.html"
    plain = text_of(lending, page, "page", kind)
    told = text_of(lending, page, "page", kind, "--officer")
    assert "Lead battery" in plain
    assert BORROWER not in plain
    assert WAITING not in plain
    assert BORROWER in told
    assert (WAITING in told) == (kind == "store")  # the period of the club ended before they asked


def test_the_facts_for_scripts_name_nobody_either(lending: Program, tmp_path: Path) -> None:
    for kind in ("store", "club"):
        answer = lending.must("page", kind, "--out", str(tmp_path / "page.html"), "--json")
        assert BORROWER not in answer.out
        assert WAITING not in answer.out


def test_a_members_page_has_their_loans_and_nobody_elses(lending: Program, tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    own = text_of(lending, page, "page", "member", BORROWER)
    assert f"This page is private to {BORROWER}" in own
    assert "Lead battery" in own
    other = text_of(lending, page, "page", "member", "Ines")
    assert "Lead battery" not in other
    assert BORROWER not in other


def test_without_a_name_it_is_the_page_of_whoever_types(lending: Program, tmp_path: Path) -> None:
    lending.environment["OBSLOG_ME"] = "Ines"
    facts = lending.document("page", "member", "--out", str(tmp_path / "me.html"))
    assert facts["member"] == "Ines"


def test_the_period_of_the_club_is_that_of_the_officers_report(lending: Program, tmp_path: Path) -> None:
    days = ("--from", "2026-01-01", "--to", "2026-03-02")
    facts = lending.document("page", "club", *days, "--out", str(tmp_path / "club.html"))
    assert facts["report"] == lending.document("officer", "report", *days)
    refused = lending(
        "page", "club", "--from", "2026-03-02", "--to", "2026-03-01", "--out", str(tmp_path / "c.html")
    )
    assert (refused.code, len(refused.error_lines)) == (2, 2)


def test_the_same_records_give_the_same_bytes(lending: Program, tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    for words in (("page", "store"), ("page", "club"), ("page", "member", "Ines")):
        assert text_of(lending, page, *words) == text_of(lending, page, *words)
