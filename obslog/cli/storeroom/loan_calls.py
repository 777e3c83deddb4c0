"""Telephone calls about loans, and the loans that are the officer's to see to."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.storeroom.loan_options import Which
from obslog.cli.storeroom.loan_show import ForTheOfficer
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import KindOption, Officer, On
from obslog.cli.terminal.screen import Screen
from obslog.errors import WrongInput
from obslog.vocabulary import counted

if TYPE_CHECKING:
    from obslog.club.reminding.calls import Called
    from obslog.club.reminding.escalation import LoanToSeeTo
    from obslog.records.opening import Database

Words = Annotated[list[str] | None, typer.Argument(help="What was said.", metavar="TEXT", show_default=False)]


class BothOrNeither(WrongInput):
    def __init__(self) -> None:
        super().__init__("A mail needs an address and a folder.", "Give both: --to ADDRESS --into FOLDER")


@dataclass(frozen=True, slots=True, kw_only=True)
class Escalated:
    """The loans to see to; `text` is that of the mail, `file` where it was written."""

    on: str
    after_days: int
    loans: "list[LoanToSeeTo]"
    text: str | None
    file: str | None


def add_to(app: typer.Typer) -> None:
    command(app, "called", show=show_called)(called)
    command(app, "escalate", show=show_escalated)(escalate)


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


def show_escalated(screen: Screen, found: Escalated) -> None:
    if not found.loans:
        days = counted(found.after_days, "day")
        screen.line(f"No loan is {days} overdue, so none is for the officer to see to.")
        return
    if found.file is not None:
        screen.note(f"Written: {found.file}")
        screen.note("Nothing was sent: open it in your mail program, and send it from there.")
        return
    for line in (found.text or "").splitlines():
        screen.line(line)


def escalate(
    database: "Database",
    now: datetime,
    to: Annotated[str | None, typer.Option("--to", help="The officer's e-mail address.")] = None,
    into: Annotated[Path | None, typer.Option("--into", help="Write a mail file into this folder.")] = None,
    officer: Officer = False,
) -> Escalated:
    """Tell the officer of loans that are long overdue.

    Those past the rule remind-officer-days: who has them, how they are reached, when they were written to and called.
    Nothing is sent: open the mail file in your own mail program.

    obslog loan escalate --officer --to officer@example.org --into mails
    """
    from obslog.club.reminding.escalation import to_see_to
    from obslog.report.reminding.escalation_letter import escalation_letter, escalation_mail

    if not officer:
        raise ForTheOfficer
    if (to is None) != (into is None):
        raise BothOrNeither
    found = to_see_to(database, now)
    file = None
    if to is not None and into is not None and found.loans:
        mails = escalation_mail(found, to, into, now)
        mails.write()
        (file,) = mails.contents
    return Escalated(
        on=f"{found.on}",
        after_days=found.after_days,
        loans=found.loans,
        text=escalation_letter(found).text if found.loans else None,
        file=str(file) if file is not None else None,
    )
