"""The mail to the officer about loans that are long overdue, from the club's template or the one that ships.

It is a file for the mail program, as all mails here.
"""

from dataclasses import dataclass, fields
from datetime import date, datetime
from pathlib import Path
from uuid import UUID

from obslog.club.reminding.escalation import LoanToSeeTo, ToSeeTo
from obslog.report.reminding.club_template import (
    ClubTemplate,
    Letter,
    LetterKind,
    source_of,
    write_club_template,
)
from obslog.report.reminding.mail_files import mail_file
from obslog.report.reminding.mail_folder import Mails, check_folder
from obslog.report.reminding.template_rules import Vocabulary

_NOBODY = UUID(int=0)  # the mail is to no member


@dataclass(frozen=True, slots=True, kw_only=True)
class LoanTold:
    """A loan as the template is told of it; None is what is not on record, or was not done yet."""

    what: str
    reference: str
    parts: list[str]
    out_on: date
    due_on: date
    days_over: int
    waiting: int
    member: str
    phone: str | None
    email: str | None
    times_reminded: int
    reminded_on: date | None
    times_called: int
    called_on: date | None
    call_note: str | None
    told_before: date | None


ESCALATION = LetterKind(
    shipped="escalation.txt.j2",
    command="obslog loan escalate",
    may=Vocabulary(
        texts=("today", "after_days"),
        lists=("loans",),
        attributes=frozenset(field.name for field in fields(LoanTold)),
        lists_within=("parts",),
        of="a loan",
        loops="a loop runs over loans or the parts of a loan",
    ),
    longest=200_000,  # of a club that never asked for anything back
)


class EscalationTemplate(ClubTemplate):
    """A template of this mail that was read, and holds nothing that it may not. Raises TemplateFault."""

    def __init__(self, source: str, where: str) -> None:
        super().__init__(ESCALATION, source, where)

    def letter(self, found: ToSeeTo) -> Letter:
        """What the officer is told of these loans. Raises TemplateFault."""
        return self.filled(
            {
                "today": found.on,
                "after_days": found.after_days,
                "loans": [_told(one) for one in found.loans],
            }
        )


def read_template(file: Path | None) -> EscalationTemplate:
    """The club's own template, or the one that ships. Raises TemplateFault, NoTemplate."""
    return EscalationTemplate(*source_of(ESCALATION, file))


def write_template(file: Path) -> None:
    """Write down the template that ships, to be changed. Raises FileThere."""
    write_club_template(ESCALATION, file)


def escalation_mail(
    letter: Letter, address: str, folder: Path, day: date, now: datetime, sender: str | None
) -> Mails:
    """The mail as a file of that day in the folder, made and not written yet. Raises NotAnAddress, NotAMailFolder."""
    check_folder(folder)
    place = folder / f"{day}-for-the-officer.eml"
    content = mail_file(letter, "", address, _NOBODY, now, sender)
    return Mails(folder, {}, {place: content})


def _told(one: LoanToSeeTo) -> LoanTold:
    loan = one.loan
    return LoanTold(
        what=loan.what,
        reference=loan.reference,
        parts=loan.parts,
        out_on=loan.out_on,
        due_on=loan.due_on,
        days_over=loan.days_over,
        waiting=loan.waiting,
        member=one.member,
        phone=one.phone,
        email=one.email,
        times_reminded=loan.times_reminded,
        reminded_on=loan.reminded_on,
        times_called=loan.times_called,
        called_on=loan.called_on,
        call_note=" ".join(loan.call_note.split()) if loan.call_note else None,
        told_before=one.told_before,
    )
