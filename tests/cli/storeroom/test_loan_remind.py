"""Reminders at the keyboard: who is named to whom, the text, the mail files, and what is refused."""

from datetime import UTC, datetime
from email import policy
from email.parser import BytesParser
from pathlib import Path

import pytest

from tests.cli.program import Program, written_once


@pytest.fixture
def lending(in_club: Program) -> Program:
    """On 2 March Ines has a kit ten days over, and Bram an eyepiece due tomorrow; Noor waits for a mount."""
    return written_once(in_club, type_lending)


def type_lending(program: Program) -> None:
    program.must("member", "add", "Noor")
    program.must("member", "contact", "Ines", "--email", "ines@example.org")
    program.must("kit", "add", "Evening kit", "--part", "Heron", "--part", "dust cap")
    program.must("loan", "out", "Evening kit", "Ines", "--on", "2026-02-01", "--due", "2026-02-20")
    program.must("loan", "out", "Wide 25", "Bram Ostler", "--on", "2026-02-20", "--due", "2026-03-03")
    program.must("loan", "reserve", "Bracken", "Noor")


COUNTS = {
    "due_soon": 1,
    "due": 0,
    "overdue": 1,
    "second_reminder": 0,
    "to_the_officer": 0,
    "ready": 1,
}


def test_without_the_officer_there_are_counts_and_no_names(lending: Program) -> None:
    document = lending.document("loan", "remind")
    assert (document["on"], document["counts"], document["letters"]) == ("2026-03-02", COUNTS, None)
    assert document["waiting"][0]["member"] is None
    shown = lending.must("loan", "remind").out
    assert "1 loan overdue; 1 loan due soon; 1 item that somebody waits for is there" in shown
    for name in ("Ines", "Bram", "Noor"):
        assert name not in shown


def test_what_came_back_damaged_is_said_to_be_for_service_and_nobody_is_called_in(lending: Program) -> None:
    lending.must("loan", "out", "Bracken", "Ines", "--pass-over")
    lending.must("loan", "back", "Bracken", "--part", "Bracken=damaged: worm, loose")
    shown = lending.must("loan", "remind").out
    assert "it is in the store, but for service: obslog review Bracken" in " ".join(shown.split())
    assert "there" not in shown
    letters = lending.document("loan", "remind", "--officer")["letters"]
    assert [letter["member"] for letter in letters] == ["Ines", "Bram Ostler"]


def test_the_officer_sees_who_and_the_text(lending: Program) -> None:
    letters = lending.document("loan", "remind", "--officer")["letters"]
    assert [(letter["member"], letter["stage"]) for letter in letters] == [
        ("Ines", "overdue"),
        ("Bram Ostler", "due soon"),
        ("Noor", "not yet"),
    ]
    (loan,) = letters[0]["loans"]
    assert (loan["days_left"], loan["days_over"], loan["parts"]) == (-10, 10, ["Heron", "dust cap"])
    assert "was due on 2026-02-20, 10 days ago" in letters[0]["text"]
    shown = lending.must("loan", "remind", "--officer").out
    assert "To: Ines, ines@example.org\nSubject: Overdue: Evening kit\n\nDear Ines,\n" in shown
    assert "To: Bram Ostler, no e-mail address on record\nSubject: Due back: Wide 25\n" in shown
    assert "Bracken: next is Noor, who asked on 2026-03-02; it is there" in shown


def test_of_what_somebody_waits_for_it_is_told_when_it_is_or_was_due(lending: Program) -> None:
    lending.must("loan", "reserve", "Evening kit", "Noor")  # out to Ines, due on 20 February
    lending.must("loan", "reserve", "Wide 25", "Noor")
    shown = lending.must("loan", "remind").out
    assert "it is on loan, and was due back on 2026-02-20" in shown
    assert "Wide 25: next is somebody, who asked on 2026-03-02; it is on loan, due back on 2026-03-0" in shown


def test_mail_files_hold_what_was_shown(lending: Program, tmp_path: Path) -> None:
    answer = lending.must("loan", "remind", "--officer", "--into", str(tmp_path / "mails"))
    (file,) = (tmp_path / "mails").iterdir()
    assert f"Written: {file}" in answer.err
    assert "No mail file for Bram Ostler: no e-mail on record" in answer.err
    assert "Nothing was sent" in answer.err
    message = BytesParser(policy=policy.default).parsebytes(file.read_bytes())
    assert str(message["To"]) == "Ines <ines@example.org>"
    shown = lending.document("loan", "remind", "--officer", "--member", "Ines")["letters"]
    text = message.get_content()
    assert text.replace("\r\n", "\n") == shown[0]["text"]
    assert (shown[0]["file"], len(shown)) == (None, 1)
    again = lending.document("loan", "remind", "--officer", "--into", str(tmp_path / "mails"))["letters"]
    assert [letter["file"] for letter in again] == [str(file), None, None]
    assert again[1]["not_written"].startswith("no e-mail on record")


def test_what_was_written_is_kept_shown_and_taken_back(lending: Program, tmp_path: Path) -> None:
    words = ("loan", "remind", "--officer", "--member", "Ines")
    lending.must(*words, "--into", str(tmp_path / "first"))
    lending.now = datetime(2026, 3, 5, 9, tzinfo=UTC)
    lending.must(*words, "--into", str(tmp_path / "second"))
    (file,) = (tmp_path / "second").iterdir()
    assert "we wrote to you about it on 2026-03-02" in file.read_text()
    (loan,) = lending.document(*words)["letters"][0]["loans"]
    assert (loan["reminded_on"], loan["times_reminded"], loan["already_told"]) == ("2026-03-05", 2, True)
    assert "2026-03-05" in lending.must(*words).out
    assert lending.document(*words, "--new")["letters"] == []
    assert "write 1 reminder" in lending.must("undo").out
    (loan,) = lending.document(*words)["letters"][0]["loans"]
    assert (loan["reminded_on"], loan["times_reminded"]) == ("2026-03-02", 1)
    assert file.exists()


def test_where_a_file_is_in_the_way_nothing_is_kept(lending: Program, tmp_path: Path) -> None:
    words = ("loan", "remind", "--officer", "--member", "Ines")
    lending.must(*words, "--into", str(tmp_path))
    lending.must("undo")
    (file,) = tmp_path.glob("*.eml")
    file.write_text("mine")
    answer = lending(*words, "--into", str(tmp_path))
    assert (answer.code, len(answer.error_lines), file.read_text()) == (1, 2, "mine")
    assert lending.document(*words)["letters"][0]["loans"][0]["times_reminded"] == 0


def test_the_clubs_own_words(lending: Program, tmp_path: Path) -> None:
    file = tmp_path / "words.txt"
    assert lending.document("loan", "remind", "--write-template", str(file)) == {"written": str(file)}
    file.write_text("Subject: Hello\n\nBring {{ loans|listed }}, {{ member }}!\n")
    words = ("loan", "remind", "--officer", "--member", "Ines", "--template", str(file))
    assert lending.document(*words)["letters"][0]["text"] == "Bring Evening kit, Ines!\n"
    file.write_text("Subject: Hello\n\n{{ lones }}\n")
    answer = lending(*words)
    assert (answer.code, len(answer.error_lines)) == (2, 2)
    assert "line 3: 'lones' is not known" in answer.error_lines[0]


def test_a_template_at_fault_leaves_no_file(lending: Program, tmp_path: Path) -> None:
    """It goes wrong only at the last letter, of one who has no loan."""
    file, folder = tmp_path / "words.txt", tmp_path / "mails"
    file.write_text("Subject: a\n\n{% if loans %}a{% else %}{{ ready }}{% endif %}\n")
    answer = lending("loan", "remind", "--officer", "--into", str(folder), "--template", str(file))
    assert (answer.code, folder.exists()) == (2, False)


@pytest.mark.parametrize(
    "options",
    [
        ["--member", "Ines"],
        ["--into", "mails"],
        ["--officer", "--from", "me@example.org"],
        ["--officer", "--member", "Ottoline"],
        ["--officer", "--template", "nowhere.txt"],
    ],
)
def test_what_is_refused_is_told_in_two_lines(lending: Program, options: list[str]) -> None:
    answer = lending("loan", "remind", *options)
    assert (answer.code, len(answer.error_lines), answer.out) == (2, 2, "")


def test_nobody_is_to_be_reminded(in_club: Program) -> None:
    assert in_club.must("loan", "remind", "--officer").out == "Nobody is to be reminded.\n"
