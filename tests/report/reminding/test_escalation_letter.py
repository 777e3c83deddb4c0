"""The mail to the officer: its text by hand, and read back by the standard library."""

from dataclasses import replace
from datetime import date
from email import policy
from email.parser import BytesParser
from pathlib import Path

import pytest

from obslog.club.reminding.escalation import LoanToSeeTo, ToSeeTo
from obslog.report.reminding.escalation_letter import escalation_letter, escalation_mail
from obslog.report.reminding.mail_files import NotAnAddress
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
  written to 2 times, the last time on 2026-02-20
  telephoned 1 time, the last time on 2026-02-28: on Thursday
  1 member waits for it

- Wide 25 (000002), with Bram
  was due on 2026-02-02, 28 days ago
  how to reach them is not on record
  not written to yet

As on record on 2026-03-02. A call is noted by: obslog loan called REFERENCE WHAT WAS SAID
"""


def test_the_text_is_the_one_written_by_hand() -> None:
    letter = escalation_letter(FOUND)
    assert letter.subject == "2 loans for the officer to see to"
    assert letter.text == BY_HAND


def test_the_mail_is_read_back_by_the_standard_library(tmp_path: Path) -> None:
    mails = escalation_mail(FOUND, "officer@example.org", tmp_path, NOW)
    mails.write()
    (file,) = tmp_path.iterdir()
    assert file.name == "2026-03-02-for-the-officer.eml"
    assert file.stat().st_mode & 0o777 == 0o600
    message = BytesParser(policy=policy.default).parsebytes(file.read_bytes())
    assert (str(message["To"]), str(message["Subject"])) == (
        "officer@example.org",
        "2 loans for the officer to see to",
    )
    assert message.get_content().replace("\r\n", "\n") == BY_HAND


def test_what_is_no_address_is_refused(tmp_path: Path) -> None:
    with pytest.raises(NotAnAddress):
        escalation_mail(FOUND, "officer@example.org\nBcc: x@example.org", tmp_path, NOW)
