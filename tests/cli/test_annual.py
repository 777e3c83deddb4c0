"""What only the officer sees, and the officer's report, at the keyboard."""

import json
import re
from pathlib import Path

import pytest

from tests.cli.program import Program, written_once

PHONE, EMAIL, ADDRESS = "01632 960 123", "ines@okafor.example", "3 Otter Row"
READING = [
    ("loan", "list"),
    ("loan", "show", "Evening kit"),
    ("loan", "waiting"),
    ("kit", "list"),
    ("kit", "show", "Evening kit"),
    ("officer", "report"),
]


@pytest.fixture
def lending(in_club: Program) -> Program:
    """Ines has the Evening kit and can be reached; Tomasz waits for it."""
    return written_once(in_club, type_lending)


def type_lending(program: Program) -> None:
    program.must("member", "add", "Tomasz")
    program.must("member", "contact", "Ines", "--phone", PHONE, "--email", EMAIL, "--address", ADDRESS)
    program.must("kit", "add", "Evening kit", "--part", "Heron", "--part", "dust cap")
    program.must("loan", "out", "Evening kit", "Ines", "--on", "2026-02-01")
    program.must("loan", "reserve", "Evening kit", "Tomasz")


@pytest.mark.parametrize("as_json", [[], ["--json"]])
@pytest.mark.parametrize("words", READING)
def test_who_has_what_is_told_to_the_officer_alone(
    lending: Program, words: tuple[str, ...], as_json: list[str]
) -> None:
    period = ["--from", "2026-01-01", "--to", "2026-03-02"] if words[0] == "officer" else []
    plain = lending.must(*words, *period, *as_json).out
    told = lending.must(*words, *period, "--officer", *as_json).out
    assert "Ines" not in plain
    assert "Tomasz" not in plain
    assert "Ines" in told or "Tomasz" in told
    assert "Evening kit" in plain
    for contact in (PHONE, EMAIL, ADDRESS):
        assert contact not in plain + told


def test_due_dates_are_for_everybody(lending: Program) -> None:
    (loan,) = lending.document("loan", "list")
    assert (loan["what"], loan["due_on"], loan["member"]) == ("Evening kit", "2026-03-01", None)
    (waiting,) = lending.document("loan", "waiting")
    assert (waiting["place"], waiting["member"]) == (1, None)
    refused = lending("loan", "list", "--member", "Ines")
    assert (refused.code, "--officer" in refused.err) == (2, True)
    assert len(lending.document("loan", "list", "--member", "Ines", "--officer")) == 1


def test_who_reserves_sees_their_own_name_alone(lending: Program) -> None:
    lending.must("member", "add", "Noor")
    lines = lending.document("loan", "reserve", "Evening kit", "noor")
    assert [(line["place"], line["member"]) for line in lines] == [(1, None), (2, "Noor")]


def test_contacts_are_shown_only_with_officer(lending: Program) -> None:
    for words in (("member", "list"), ("member", "show", "Ines"), ("loan", "form", "Evening kit")):
        plain, told = lending.must(*words).out, lending.must(*words, "--officer").out
        for contact in (PHONE, EMAIL, ADDRESS):
            assert contact not in plain
            assert contact in told
    assert lending.document("member", "show", "Ines", "--officer")["email"] == EMAIL
    assert "email" not in lending.document("member", "show", "Ines")
    phones = {who["name"]: who["phone"] for who in lending.document("member", "list", "--officer")}
    assert phones == {"Bram Ostler": None, "Ines": PHONE, "Tomasz": None}


def test_writing_a_contact_down_does_not_repeat_it(lending: Program) -> None:
    answer = lending.must("member", "contact", "Ines", "--phone", "01632 960 999")
    assert "01632 960" not in answer.out + answer.err
    assert lending.document("member", "contact", "Ines", "--phone", "")["on_record"] == ["email", "address"]
    assert lending("member", "contact", "Ines").code == 2
    assert lending("member", "contact", "Ines", "--email", "nowhere").code == 2


def test_a_member_leaves_at_the_keyboard(lending: Program) -> None:
    refused = lending("member", "leave", "Ines", "--yes")
    assert (refused.code, len(refused.error_lines)) == (1, 2)
    assert 'obslog loan back "Evening kit"' in refused.err
    lending.must("loan", "back", "Evening kit")
    lending.must("mount", "edit", "Heron", "--note", "Ines says it sticks")
    looked = lending.must("member", "leave", "Ines", "--look").out
    assert "Nothing was changed" in looked
    assert "Ines says it sticks" in looked
    lending.must("member", "show", "Ines")
    done = lending.must("member", "leave", "Ines", "--also-texts", "--yes").out
    for told in ("Former member ", "cannot be undone", "Backups"):
        assert told in done
    assert lending("member", "show", "Ines").code == 2
    assert lending.document("mount", "show", "Heron")["note"] == "Former member says it sticks"
    assert lending.document("loan", "list", "--all", "--officer")[0]["member"].startswith("Former member ")
    assert lending("undo").code == 1
    assert lending.document("member", "leave", "Tomasz", "--yes")["no_longer_waits_for"] == ["Evening kit"]


def test_the_report_on_the_screen_as_json_and_as_a_page(lending: Program, tmp_path: Path) -> None:
    words = ("officer", "report", "--from", "2026-01-01", "--to", "2026-03-01")
    text = lending.must(*words).out
    assert max(map(len, text.splitlines())) <= 80
    assert "1 loan to 1 borrower" in text
    found = lending.document(*words)
    assert (found["days"], found["loans"]["begun"], found["loans"]["borrower_names"]) == (60, 1, None)
    page = tmp_path / "year.html"
    answer = lending.must(*words, "--into", str(page))
    assert answer.out == ""
    assert "1 loan to 1 borrower" in page.read_text(encoding="utf-8")
    both = lending.must(*words, "--into", str(page), "--json")
    assert json.loads(both.out) == found


def test_a_period_that_cannot_be_is_wrong_input(lending: Program, tmp_path: Path) -> None:
    assert lending("officer", "report", "--from", "2026-03-01", "--to", "2026-02-01").code == 2
    assert lending("officer", "report", "--from", "2026-12-01", "--to", "2026-12-31").code == 2
    assert lending("officer", "report", "--from", "March").code == 2
    assert lending("officer", "report", "--into", str(tmp_path / "year.docx")).code == 2
    assert lending("officer", "report", "--into", str(tmp_path / "no" / "year.html")).code == 2


def test_a_year_that_is_not_over_is_reported_up_to_today(lending: Program, tmp_path: Path) -> None:
    """The evening is 2 March 2026: 31 days of January, 28 of February and 2 of March have begun."""
    words = ("officer", "report", "--to", "2026-12-31")
    found = lending.document(*words)
    assert (found["first"], found["last"], found["days"]) == ("2026-01-01", "2026-03-02", 31 + 28 + 2)
    assert found["asked_to"] == "2026-12-31"
    page = tmp_path / "year.html"
    lending.must(*words, "--into", str(page))
    written = re.sub("<[^>]*>", "", page.read_text(encoding="utf-8"))
    for text in (lending.must(*words).out, written):
        assert "It covers up to today, 2026-03-02; the days to 2026-12-31 have not come yet." in text
    over = ("officer", "report", "--from", "2026-01-01", "--to", "2026-03-01")
    assert lending.document(*over)["asked_to"] is None
    assert "up to today" not in lending.must(*over).out


def test_a_page_takes_the_place_of_an_earlier_one_and_of_no_other_file(
    lending: Program, tmp_path: Path
) -> None:
    page, letter = tmp_path / "year.html", tmp_path / "letter.html"
    lending.must("officer", "report", "--to", "2026-02-01", "--into", str(page))
    earlier = page.read_text(encoding="utf-8")
    lending.must("officer", "report", "--to", "2026-03-01", "--into", str(page))
    assert page.read_text(encoding="utf-8") != earlier
    letter.write_text("<!DOCTYPE html>\n<p>Dear obslog officer report</p>\n", encoding="utf-8")
    kept = letter.read_bytes()
    refused = lending("officer", "report", "--into", str(letter))
    assert (refused.code, len(refused.error_lines), "--overwrite" in refused.err) == (1, 2, True)
    assert letter.read_bytes() == kept
    lending.must("officer", "report", "--into", str(letter), "--overwrite")
    assert "The store-room from" in letter.read_text(encoding="utf-8")


def test_a_page_of_before_there_were_other_pages_is_written_over(lending: Program, tmp_path: Path) -> None:
    page = tmp_path / "year.html"
    page.write_text(
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="generator" content="obslog, the report of a year">\n<title>The store-room</title>\n',
        encoding="utf-8",
    )
    lending.must("officer", "report", "--into", str(page))
    assert "<main" in page.read_text(encoding="utf-8")


def test_a_file_that_is_no_text_is_not_written_over(lending: Program, tmp_path: Path) -> None:
    picture = tmp_path / "sky.html"
    picture.write_bytes(b"\xff\xd8\xff\x00")
    assert lending("officer", "report", "--into", str(picture)).code == 1
    assert picture.read_bytes() == b"\xff\xd8\xff\x00"
