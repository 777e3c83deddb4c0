"""Calls and long overdue loans at the keyboard: noted, shown to the officer alone, and written as a mail."""

from email import policy
from email.parser import BytesParser
from pathlib import Path

import pytest

from tests.cli.program import Program


@pytest.fixture
def lending(in_club: Program) -> Program:
    in_club.must("loan", "out", "Heron", "Ines", "--on", "2026-01-05", "--due", "2026-01-31")
    in_club.must("member", "contact", "Ines", "--phone", "555 0100")
    return in_club


def test_a_call_is_noted_and_shown_to_the_officer(lending: Program) -> None:
    head = "member\titem\tstage\tdue\tdays left\twaiting\tlast reminded\ttimes"
    assert f"{head}\n" in lending.must("loan", "remind", "--officer").out
    answer = lending.must("loan", "called", "Heron", "will", "bring", "it")
    assert answer.out.startswith("Heron (")
    assert answer.out.endswith("): called on 2026-03-02: will bring it\n")
    shown = lending.must("loan", "remind", "--officer").out
    assert f"{head}\tcalled\n" in shown
    assert "\t2026-03-02: will bring it\n" in shown
    (letter,) = lending.document("loan", "remind", "--officer")["letters"]
    assert (letter["loans"][0]["called_on"], letter["loans"][0]["times_called"]) == ("2026-03-02", 1)
    assert "will bring it" not in letter["text"]
    assert lending.must("loan", "called", "Heron").out.endswith("2 calls about this loan\n")


def test_the_officer_is_told_and_a_mail_is_written(lending: Program, tmp_path: Path) -> None:
    shown = lending.must("loan", "escalate", "--officer").out
    assert "with Ines\n  was due on 2026-01-31, 30 days ago\n  to be reached by 555 0100\n" in shown
    into = tmp_path / "mails"
    answer = lending.must("loan", "escalate", "--officer", "--to", "o@example.org", "--into", str(into))
    (file,) = into.iterdir()
    assert answer.err.splitlines()[0] == f"Written: {file}"
    found = lending.document("loan", "escalate", "--officer")
    assert (found["loans"][0]["member"], found["file"]) == ("Ines", None)
    lending.must("loan", "back", "Heron")
    assert "No loan is 28 days overdue" in lending.must("loan", "escalate", "--officer").out


def test_the_mail_is_in_the_clubs_words_and_kept_until_it_is_taken_back(
    lending: Program, tmp_path: Path
) -> None:
    own, into = tmp_path / "own.txt", tmp_path / "mails"
    answer = lending.must("loan", "escalate", "--write-template", str(own))
    assert answer.err.startswith(f"Written: {own}. Change it, then: obslog loan escalate --template ")
    own.write_text(
        "Subject: Late\n\n{% for loan in loans %}{{ loan.what }} of {{ loan.member }}{% endfor %}\n"
    )
    words = ("loan", "escalate", "--officer", "--template", str(own))
    assert lending.must(*words).out == "Heron of Ines\n"
    found = lending.document(*words, "--to", "o@example.org", "--into", str(into), "--from", "me@example.org")
    assert found["loans"][0]["times_told"] == 0
    message = BytesParser(policy=policy.default).parsebytes(Path(found["file"]).read_bytes())
    assert (str(message["Subject"]), message.get_content().strip()) == ("Late", "Heron of Ines")
    (loan,) = lending.document(*words)["loans"]
    assert (loan["told_on"], loan["times_told"]) == ("2026-03-02", 1)
    assert lending.document(*words, "--new")["loans"] == []
    assert lending.must(*words, "--new").out == (
        "No loan is 28 days overdue that no mail has told of. All that are: without --new.\n"
    )
    lending.must("undo")
    assert lending.document(*words)["loans"][0]["times_told"] == 0


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("escalate",), 2),
        (("escalate", "--officer", "--to", "o@example.org"), 2),
        (("escalate", "--officer", "--to", "nobody", "--into", "x"), 2),
        (("escalate", "--officer", "--from", "o@example.org"), 2),
        (("escalate", "--officer", "--template", "nowhere.txt"), 2),
        (("called", "Bracken"), 1),
        (("called", "Heron", "--on", "2026-01-01"), 2),
    ],
)
def test_what_is_wanting_is_said_in_two_lines(lending: Program, words: tuple[str, ...], code: int) -> None:
    answer = lending("loan", *words)
    assert (answer.code, len(answer.error_lines)) == (code, 2)
    assert "Ines" not in answer.err
