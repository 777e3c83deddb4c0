"""The mail to the officer about loans that are long overdue; a file for the mail program, as all mails here."""

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from uuid import UUID

from obslog.club.reminding.escalation import LoanToSeeTo, ToSeeTo
from obslog.report.plain_text import seen
from obslog.report.reminding.club_template import Letter
from obslog.report.reminding.mail_files import mail_file
from obslog.report.reminding.mail_folder import Mails
from obslog.vocabulary import counted

_NOBODY = UUID(int=0)  # the mail is to no member


def escalation_letter(found: ToSeeTo) -> Letter:
    """What the officer is told, one paragraph a loan."""
    paragraphs = "\n".join(paragraph(one) for one in found.loans)
    return Letter(
        f"{counted(len(found.loans), 'loan')} for the officer to see to",
        f"By the club's rule these loans are the officer's, {counted(found.after_days, 'day')} after they were due:\n\n"
        f"{paragraphs}\n"
        f"As on record on {found.on}. A call is noted by: obslog loan called REFERENCE WHAT WAS SAID\n",
    )


def paragraph(one: LoanToSeeTo) -> str:
    """What is overdue, with whom, how they are reached, and what was tried."""
    return "".join(f"{seen(line)}\n" for line in _lines(one))


def _lines(one: LoanToSeeTo) -> Iterator[str]:
    loan = one.loan
    yield f"- {loan.what} ({loan.reference}), with {one.member}"
    yield f"  was due on {loan.due_on}, {counted(loan.days_over, 'day')} ago"
    reach = ", ".join(filter(None, (one.phone, one.email)))
    yield f"  to be reached by {reach}" if reach else "  how to reach them is not on record"
    if loan.times_reminded:
        yield f"  written to {counted(loan.times_reminded, 'time')}, the last time on {loan.reminded_on}"
    else:
        yield "  not written to yet"
    if loan.called_on is not None:
        said = f": {loan.call_note}" if loan.call_note else ""
        yield f"  telephoned {counted(loan.times_called, 'time')}, the last time on {loan.called_on}{said}"
    if loan.waiting:
        yield f"  {counted(loan.waiting, 'member')} {'waits' if loan.waiting == 1 else 'wait'} for it"


def escalation_mail(found: ToSeeTo, address: str, folder: Path, now: datetime) -> Mails:
    """The mail as a file in that folder, made and not written yet. Raises NotAnAddress."""
    place = folder / f"{now.date()}-for-the-officer.eml"
    content = mail_file(escalation_letter(found), "", address, _NOBODY, now, None)
    return Mails(folder, {}, {place: content})
