"""Reminders: who has to bring back what, the text to send them, and mail files of it. Nothing is sent."""

from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated
from uuid import UUID

import typer

from obslog.cli.storeroom.loan_show import ForTheOfficer
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import Officer, Sender, Template, WriteTemplate
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.cli.terminal.template_written import is_template, show_template, written_or_done
from obslog.english import counted
from obslog.errors import WrongInput, quoted

if TYPE_CHECKING:
    from obslog.club.reminding.next_waiting import NextWaiting
    from obslog.club.reminding.reminders import LoanToTell, MemberReminder, ReminderCounts, RemindersDue
    from obslog.records.database import Database
    from obslog.report.reminding.club_template import Letter
    from obslog.report.reminding.letters import LetterTemplate


@dataclass(frozen=True, slots=True, kw_only=True)
class LetterTo:
    """What one member is to be told, with the letter; `file` is the mail file, where one was written.

    `not_written` says why there is no file though files were asked for.
    """

    member: str
    email: str | None
    stage: str
    loans: "list[LoanToTell]"
    not_yet: "list[LoanToTell]"
    ready: "list[NextWaiting]"
    subject: str
    text: str
    file: str | None = None
    not_written: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reminded:
    """The reminders of a day; without --officer `letters` is None and nobody is named."""

    on: date
    counts: "ReminderCounts"
    letters: list[LetterTo] | None
    waiting: "list[NextWaiting]"


class OnlyWithInto(WrongInput):
    def __init__(self) -> None:
        super().__init__("--from is for the mail files.", "Say into which folder: --into FOLDER")


def add_to(app: typer.Typer) -> None:
    command(app, "remind", show=show_reminders, document=written_or_done)(remind)


def remind(
    state: State,
    now: datetime,
    member: Annotated[str | None, typer.Option("--member", help="Only this member; needs --officer.")] = None,
    into: Annotated[
        Path | None, typer.Option("--into", help="Write a mail file each into this folder; needs --officer.")
    ] = None,
    sender: Sender = None,
    template: Template = None,
    write_template: WriteTemplate = None,
    new: Annotated[bool, typer.Option("--new", help="Only those not yet written to at this stage.")] = False,
    officer: Officer = False,
) -> "Reminded | Path":
    """Show who has to bring back what, with the text.

    obslog loan remind --officer --into mails

    Nothing is sent: open the mail files in your own mail program. That they were written is kept, and shown with the
    next list. The rules of the club say from when a loan is due soon, told of as a second reminder, or for the officer
    to see to.

    obslog rule list
    """
    from obslog.report.reminding import letters as texts

    if write_template is not None:
        texts.write_template(write_template)
        return write_template
    if not officer and (member is not None or into is not None):
        raise ForTheOfficer
    if sender is not None and into is None:
        raise OnlyWithInto
    club_words = texts.read_template(template)
    with state.database() as database:
        from obslog.club.reminding.reminders import reminders_due, waiting_without_names

        due = reminders_due(database, now, member, only_new=new)
        if not officer:
            return Reminded(
                on=due.on, counts=due.counts, letters=None, waiting=waiting_without_names(due.waiting)
            )
        letters = _letters(database, due, club_words, now, into=into, sender=sender)
    return Reminded(on=due.on, counts=due.counts, letters=letters, waiting=due.waiting)


def _letters(
    database: "Database",
    due: "RemindersDue",
    template: "LetterTemplate",
    now: datetime,
    *,
    into: Path | None,
    sender: str | None,
) -> list[LetterTo]:
    """All letters are made before the first file is written, so that a faulty template leaves none."""
    pairs = [(reminder, template.letter(reminder, due)) for reminder in due.reminders]
    files = {} if into is None else _written(database, pairs, into, due.on, now, sender)
    return [_told(reminder, letter, files.get(reminder.key)) for reminder, letter in pairs]


def _written(
    database: "Database",
    pairs: "list[tuple[MemberReminder, Letter]]",
    into: Path,
    day: date,
    now: datetime,
    sender: str | None,
) -> dict[UUID, Path | str]:
    """The mail file of each letter, or why there is none; that it was written goes on record."""
    from obslog.club.reminding.history import note_written
    from obslog.club.reminding.reminders import written
    from obslog.report.reminding.mail_folder import mails_made

    mails = mails_made(pairs, into, day, now, sender)
    files = mails.outcome
    as_files = [
        written(reminder, letter.text) for reminder, letter in pairs if isinstance(files[reminder.key], Path)
    ]
    note_written(database, as_files, now, mails.write)
    return files


def _told(reminder: "MemberReminder", letter: "Letter", outcome: Path | str | None) -> LetterTo:
    return LetterTo(
        member=reminder.member,
        email=reminder.email,
        stage=reminder.stage,
        loans=reminder.loans,
        not_yet=reminder.not_yet,
        ready=reminder.ready,
        subject=letter.subject,
        text=letter.text,
        file=str(outcome) if isinstance(outcome, Path) else None,
        not_written=outcome if isinstance(outcome, str) else None,
    )


def show_reminders(screen: Screen, found: "Reminded | Path", into: Path | None) -> None:
    if is_template(found):
        show_template(screen, found, "loan remind")
        return
    screen.line(_counts_in_words(found.counts), style="bold")
    if found.letters is None:
        _show_waiting(screen, found.waiting, found.on)
        screen.note("With names and the texts: obslog loan remind --officer")
        return
    _show_loans(screen, found.letters)
    _show_waiting(screen, found.waiting, found.on)
    if into is None:
        _show_letters(screen, found.letters)
    else:
        _show_files(screen, found.letters)


def _counts_in_words(counts: "ReminderCounts") -> str:
    stages = (
        (counts.to_the_officer, "for the officer to see to"),
        (counts.second_reminder, "for a second reminder"),
        (counts.overdue, "overdue"),
        (counts.due, "due"),
        (counts.due_soon, "due soon"),
    )
    loans = [f"{counted(number, 'loan')} {words}" for number, words in stages if number]
    ready = [
        f"{counted(counts.ready, 'item')} that somebody waits for {'is' if counts.ready == 1 else 'are'} there"
    ]
    return "; ".join([*loans, *(ready if counts.ready else [])]) or "Nobody is to be reminded."


def _show_loans(screen: Screen, letters: list[LetterTo]) -> None:
    """The loans; when their borrowers were telephoned has a column where anybody was."""
    loans = [(letter.member, loan) for letter in letters for loan in letter.loans]
    called = ["called"] if any(loan.times_called for _, loan in loans) else []
    rows = [
        [
            member,
            loan.what,
            loan.stage,
            loan.due_on,
            loan.days_left,
            loan.waiting or None,
            loan.reminded_on,
            loan.times_reminded or None,
            *([_called(loan)] if called else []),
        ]
        for member, loan in loans
    ]
    if rows:
        screen.table(
            ["member", "item", "stage", "due", "days left", "waiting", "last reminded", "times", *called],
            rows,
        )


def _called(loan: "LoanToTell") -> str | None:
    """The last call: `2026-03-02: on Thursday`."""
    if loan.called_on is None:
        return None
    return f"{loan.called_on}: {loan.call_note}" if loan.call_note else f"{loan.called_on}"


def _mail(letter: LetterTo) -> str:
    return letter.email or "no e-mail address on record"


def _where_it_is(line: "NextWaiting", today: date) -> str:
    from obslog.club.storeroom.custody import due_words

    if line.there:
        return "it is there"
    if line.for_service:
        return f"it is in the store, but for service: obslog review {quoted(line.what)}"
    if line.due_on is None:
        return "it is not there"
    return f"it is on loan{due_words(line.due_on, today)}"


def _show_waiting(screen: Screen, waiting: "list[NextWaiting]", today: date) -> None:
    for line in waiting:
        who, place = line.member or "somebody", _where_it_is(line, today)
        told = f"; told on {line.reminded_on}" if line.there and line.reminded_on else ""
        screen.line(f"{line.what}: next is {who}, who asked on {line.asked_on}; {place}{told}", hang=2)


def _show_letters(screen: Screen, letters: list[LetterTo]) -> None:
    for letter in letters:
        screen.line()
        screen.line(f"To: {letter.member}, {_mail(letter)}", style="bold")
        screen.line(f"Subject: {letter.subject}")
        screen.line()
        for line in letter.text.splitlines():
            screen.line(line)


def _show_files(screen: Screen, letters: list[LetterTo]) -> None:
    for letter in letters:
        if letter.file is not None:
            screen.note(f"Written: {letter.file}")
    for letter in letters:
        if letter.not_written is not None:
            screen.note(f"No mail file for {letter.member}: {letter.not_written}")
    if any(letter.file for letter in letters):
        screen.note("Nothing was sent: open them in your mail program, and send them from there.")
