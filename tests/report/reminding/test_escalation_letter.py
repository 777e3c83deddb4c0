"""The mail to the officer: its text by hand, the club's own words, and read back by the standard library."""

from dataclasses import replace
from datetime import date
from email import policy
from email.parser import BytesParser
from pathlib import Path

import pytest

from obslog.club.reminding.escalation import LoanToSeeTo, ToSeeTo
from obslog.files.output_files import FileThere
from obslog.report.reminding.club_template import Letter
from obslog.report.reminding.escalation_letter import (
    ESCALATION,
    EscalationTemplate,
    escalation_mail,
    read_template,
    write_template,
)
from obslog.report.reminding.mail_files import NotAnAddress
from obslog.report.reminding.mail_folder import NotAMailFolder
from obslog.report.reminding.template_rules import TemplateFault
from tests.report.reminding.records import EYEPIECE, KIT, NOW

LATE = replace(
    KIT, due_on=date(2026, 1, 31), days_over=30, times_reminded=2, reminded_on=date(2026, 2, 20), times_called=1,
    called_on=date(2026, 2, 28), call_note="on Thursday",
)  # fmt: skip
FOUND = ToSeeTo(
    on=date(2026, 3, 2),
    after_days=28,
    loans=[
        LoanToSeeTo(member="Ines", phone="555 0100", email="ines@example.org", loan=LATE),
        LoanToSeeTo(
            member="Bram",
            phone=None,
            email=None,
            loan=replace(EYEPIECE, due_on=date(2026, 2, 2), days_over=28),
        ),
    ],
)
BY_HAND = """\
By the club's rule these loans are the officer's, 28 days after they were due:

- Evening kit (000001), with Ines
  was due on 2026-01-31, 30 days ago
  to be reached by 555 0100, ines@example.org
  written to twice, last on 2026-02-20
  telephoned once, on 2026-02-28: on Thursday
  1 member waits for it

- Wide 25 (000002), with Bram
  was due on 2026-02-02, 28 days ago
  how to reach them is not on record
  not written to yet

As on record on 2026-03-02. A call is noted by: obslog loan called REFERENCE WHAT WAS SAID
"""


OWN = "Subject: Late, {{ today }}\n\n{% for loan in loans %}\n{{ loan.member }}: {{ loan.what }}\n{% endfor %}\n"


def shipped() -> Letter:
    return read_template(None).letter(FOUND)


def test_the_text_is_the_one_written_by_hand() -> None:
    letter = shipped()
    assert letter.subject == "2 loans for the officer to see to"
    assert letter.text == BY_HAND


def test_that_it_was_told_before_is_told_the_next_time() -> None:
    again = replace(FOUND, loans=[replace(FOUND.loans[0], told_before=date(2026, 3, 1), times_told=1)])
    letter = read_template(None).letter(again)
    assert letter.subject == "1 loan for the officer to see to"
    assert (
        "  1 member waits for it\n  you were told of it before, on 2026-03-01\n\nAs on record" in letter.text
    )


def test_how_a_borrower_is_reached_by_one_way_alone() -> None:
    for phone, email in (("555 0100", None), (None, "ines@example.org")):
        one = replace(FOUND, loans=[replace(FOUND.loans[0], phone=phone, email=email)])
        assert f"  to be reached by {phone or email}\n" in read_template(None).letter(one).text


def test_the_clubs_own_words_are_used(tmp_path: Path) -> None:
    file = tmp_path / "own.txt"
    file.write_text(OWN)
    assert read_template(file).letter(FOUND) == Letter(
        "Late, 2026-03-02", "Ines: Evening kit\nBram: Wide 25\n"
    )


def test_the_template_that_ships_is_written_down_once(tmp_path: Path) -> None:
    file = tmp_path / "own.txt"
    write_template(file)
    assert read_template(file).letter(FOUND) == shipped()
    with pytest.raises(FileThere):
        write_template(file)


@pytest.mark.parametrize(
    "words",
    [
        "{{ loans[0].__class__ }}",
        "{% for loan in loans %}{{ loan.key }}{% endfor %}",
        "{{ member }}",
        "{% include 'x' %}",
        "{% for sign in 'abc' %}{{ sign }}{% endfor %}",
        "{% for loan in loans %}{{ loan.what.format() }}{% endfor %}",
    ],
)
def test_what_a_template_may_not_hold_is_refused_when_it_is_read(words: str) -> None:
    with pytest.raises(TemplateFault, match=r"own\.txt, line 3") as refused:
        EscalationTemplate(f"Subject: x\n\n{words}\n", "own.txt")
    assert refused.value.hint.endswith("obslog loan escalate --write-template FILE")


def test_a_club_with_hundreds_of_them_is_told_of_all() -> None:
    many = replace(FOUND, loans=FOUND.loans * 200)
    assert read_template(None).letter(many).text.count("with Ines") == 200


def test_every_name_that_the_template_explains_is_known() -> None:
    """A template of only these runs, and its beginning names all that there is."""
    head = ESCALATION.source().partition("#}")[0]
    for name in ESCALATION.may.attributes:
        assert name in head


def test_a_name_with_control_characters_moves_nothing() -> None:
    hostile = replace(
        FOUND.loans[0], member="Ines\x1b[2J", loan=replace(LATE, call_note="yes\n- Bracken, with Bram")
    )
    text = read_template(None).letter(replace(FOUND, loans=[hostile])).text
    assert "\x1b" not in text
    assert "2026-02-28: yes - Bracken, with Bram\n" in text


def test_the_mail_is_read_back_by_the_standard_library(tmp_path: Path) -> None:
    mails = escalation_mail(shipped(), "officer@example.org", tmp_path, NOW.date(), NOW, "me@example.org")
    mails.write()
    (file,) = tmp_path.iterdir()
    assert file.name == "2026-03-02-for-the-officer.eml"
    assert file.stat().st_mode & 0o777 == 0o600
    message = BytesParser(policy=policy.default).parsebytes(file.read_bytes())
    assert [str(message[name]) for name in ("From", "To", "Subject")] == [
        "me@example.org",
        "officer@example.org",
        "2 loans for the officer to see to",
    ]
    assert message.get_content().replace("\r\n", "\n") == BY_HAND


def test_what_is_no_address_is_refused(tmp_path: Path) -> None:
    with pytest.raises(NotAnAddress):
        escalation_mail(shipped(), "officer@example.org\nBcc: x@example.org", tmp_path, NOW.date(), NOW, None)


def test_a_file_is_no_folder(tmp_path: Path) -> None:
    place = tmp_path / "mails"
    place.write_text("mine")
    with pytest.raises(NotAMailFolder):
        escalation_mail(shipped(), "officer@example.org", place, NOW.date(), NOW, None)
