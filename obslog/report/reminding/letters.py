"""The text of a reminder, from the club's template or the one that ships."""

from dataclasses import fields
from pathlib import Path

from obslog.club.reminding.next_waiting import NextWaiting
from obslog.club.reminding.reminders import LoanToTell, MemberReminder, RemindersDue
from obslog.report.reminding.club_template import (
    ClubTemplate,
    Letter,
    LetterKind,
    source_of,
    write_club_template,
)
from obslog.report.reminding.template_rules import Vocabulary

LISTS = ("loans", "pressing", "not_yet", "ready")
REMINDERS = LetterKind(
    shipped="reminder.txt.j2",
    command="obslog loan remind",
    may=Vocabulary(
        texts=("member", "today", "stage"),
        lists=LISTS,
        attributes=frozenset(field.name for record in (LoanToTell, NextWaiting) for field in fields(record))
        - {"key", "member", "call_note"},
        lists_within=("parts",),
        of="a loan",
        loops=f"a loop runs over {', '.join(LISTS)} or the parts of a loan",
    ),
)


class LetterTemplate(ClubTemplate):
    """A template of reminders that was read, and holds nothing that it may not. Raises TemplateFault."""

    def __init__(self, source: str, where: str) -> None:
        super().__init__(REMINDERS, source, where)

    def letter(self, reminder: MemberReminder, due: RemindersDue) -> Letter:
        """The letter to one member. Raises TemplateFault."""
        return self.filled(
            {
                "member": reminder.member,
                "today": due.on,
                "stage": reminder.stage,
                "loans": reminder.loans,
                "pressing": [loan for loan in reminder.loans if loan.stage is reminder.stage],
                "not_yet": reminder.not_yet,
                "ready": reminder.ready,
            }
        )


def read_template(file: Path | None) -> LetterTemplate:
    """The club's own template, or the one that ships. Raises TemplateFault, NoTemplate."""
    return LetterTemplate(*source_of(REMINDERS, file))


def write_template(file: Path) -> None:
    """Write down the template that ships, to be changed. Raises FileThere."""
    write_club_template(REMINDERS, file)
