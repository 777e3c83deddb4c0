"""Telephone calls about loans, and the loans that are the officer's to see to."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.storeroom.loan_options import Which
from obslog.cli.storeroom.loan_remind import OnlyWithInto
from obslog.cli.storeroom.loan_show import ForTheOfficer
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import KindOption, Officer, On, Sender, Template, WriteTemplate
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.cli.terminal.template_written import is_template, show_template, written_or_done
from obslog.english import counted
from obslog.errors import WrongInput

if TYPE_CHECKING:
    from obslog.club.reminding.calls import Called
    from obslog.club.reminding.escalation import LoanToSeeTo, ToSeeTo
    from obslog.records.database import Database
    from obslog.report.reminding.club_template import Letter

Words = Annotated[list[str] | None, typer.Argument(help="What was said.", metavar="TEXT", show_default=False)]


class BothOrNeither(WrongInput):
    def __init__(self) -> None:
        super().__init__("A mail needs an address and a folder.", "Give both: --to ADDRESS --into FOLDER")


@dataclass(frozen=True, slots=True, kw_only=True)
class Escalated:
    """The loans to see to, or those of which no mail has told; `text` is the mail's, `file` where it was written."""

    on: str
    after_days: int
    only_new: bool
    loans: "list[LoanToSeeTo]"
    text: str | None
    file: str | None


def add_to(app: typer.Typer) -> None:
    command(app, "called", show=show_called)(called)
    command(app, "escalate", show=show_escalated, document=written_or_done)(escalate)


def show_called(screen: Screen, found: "Called") -> None:
    said = f": {found.note}" if found.note else ""
    screen.line(f"{found.what} ({found.reference}): called on {found.called_on}{said}", hang=2)
    if found.times > 1:
        screen.line(f"{counted(found.times, 'call')} about this loan")


def called(
    database: "Database",
    now: datetime,
    item: Which,
    said: Words = None,
    on: On = None,
    kind: KindOption = None,
) -> "Called":
    """Note that a borrower was telephoned.

    It is shown by loan remind --officer, beside when they were written to.

    obslog loan called "Evening kit" will bring it on Thursday
    """
    from obslog.club.reminding.calls import note_call

    return note_call(database, item, now, said=" ".join(said) if said else None, on=on, kind=kind)


def show_escalated(screen: Screen, found: "Escalated | Path") -> None:
    if is_template(found):
        show_template(screen, found, "loan escalate")
        return
    if not found.loans:
        days = counted(found.after_days, "day")
        if found.only_new:
            screen.line(f"No loan is {days} overdue that no mail has told of. All that are: without --new.")
        else:
            screen.line(f"No loan is {days} overdue, so none is for the officer to see to.")
        return
    if found.file is not None:
        screen.note(f"Written: {found.file}")
        screen.note("Nothing was sent: open it in your mail program, and send it from there.")
        return
    for line in (found.text or "").splitlines():
        screen.line(line)


def escalate(
    state: State,
    now: datetime,
    to: Annotated[str | None, typer.Option("--to", help="The officer's e-mail address.")] = None,
    into: Annotated[Path | None, typer.Option("--into", help="Write a mail file into this folder.")] = None,
    sender: Sender = None,
    template: Template = None,
    write_template: WriteTemplate = None,
    new: Annotated[bool, typer.Option("--new", help="Only those that no mail has told of.")] = False,
    officer: Officer = False,
) -> "Escalated | Path":
    """Tell the officer of loans that are long overdue.

    Those past the rule remind-officer-days: who has them, how they are reached, when they were written to and called.
    Nothing is sent: open the mail file in your own mail program. That it was written is kept, and told the next time.

    obslog loan escalate --officer --to officer@example.org --into mails
    """
    from obslog.report.reminding import escalation_letter as texts

    if write_template is not None:
        texts.write_template(write_template)
        return write_template
    if not officer:
        raise ForTheOfficer
    if (to is None) != (into is None):
        raise BothOrNeither
    if sender is not None and into is None:
        raise OnlyWithInto
    club_words = texts.read_template(template)
    with state.database() as database:
        from obslog.club.reminding.escalation import to_see_to

        found = to_see_to(database, now, only_new=new)
        letter = club_words.letter(found) if found.loans else None
        file = None
        if letter is not None and to is not None and into is not None:
            file = _write(database, found, letter, (to, sender), into, now)
    return Escalated(
        on=f"{found.on}",
        after_days=found.after_days,
        only_new=new,
        loans=found.loans,
        text=letter.text if letter else None,
        file=str(file) if file is not None else None,
    )


def _write(
    database: "Database",
    found: "ToSeeTo",
    letter: "Letter",
    addresses: tuple[str, str | None],
    into: Path,
    now: datetime,
) -> Path:
    """Write the mail, and note that it was. Raises NotAnAddress, NotAMailFolder, MailThere."""
    from obslog.club.reminding.history import note_told
    from obslog.report.reminding.escalation_letter import escalation_mail

    to, sender = addresses
    mails = escalation_mail(letter, to, into, found.on, now, sender)
    (file,) = mails.contents
    note_told(database, [one.loan.key for one in found.loans], (file.name, letter.text), now, mails.write)
    return file
