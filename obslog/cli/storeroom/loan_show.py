"""Loans as they are looked at: lists, one loan, who waits, a form to print, a calendar."""

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.storeroom.loan_options import (
    KitOrItem,
    MemberName,
    Which,
    show_loan_page,
    with_names_told,
)
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import KindOption, Officer
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.errors import WrongInput

if TYPE_CHECKING:
    from obslog.club.storeroom.loan_pages import LoanLine, LoanPage
    from obslog.club.storeroom.waiting_list import WaitingLine
    from obslog.records.database import Database


class ForTheOfficer(WrongInput):
    def __init__(self) -> None:
        super().__init__("Who has what is shown only to the officer.", "Add --officer.")


def add_to(app: typer.Typer) -> None:
    command(app, "list", show=show_loans)(list_loans)
    command(app, "show", show=show_loan_page)(show_loan)
    command(app, "reserve", show=show_waiting)(reserve)
    command(app, "withdraw", show=show_waiting)(withdraw)
    command(app, "waiting", show=show_waiting)(list_waiting)
    command(app, "form")(print_form)
    command(app, "calendar")(write_calendar)


def show_loans(screen: Screen, loans: "Sequence[LoanLine]", officer: bool) -> None:
    if not loans:
        screen.note("No loan to show. To lend something: obslog loan out --help")
        return
    screen.table(
        [
            "reference",
            "item",
            *(["member"] if officer else []),
            "out",
            "due",
            "back",
            "days left",
            "",
            "waiting",
        ],
        [
            [
                loan.reference,
                loan.what,
                *([loan.member] if officer else []),
                loan.out_on,
                loan.due_on,
                loan.back_on,
                loan.days_left,
                "overdue" if loan.overdue else "due soon" if loan.due_soon else "",
                loan.waiting or None,
            ]
            for loan in loans
        ],
    )


def list_loans(
    database: "Database",
    now: datetime,
    member: Annotated[
        str | None, typer.Option("--member", help="Only the loans of this member; needs --officer.")
    ] = None,
    overdue: Annotated[bool, typer.Option("--overdue", help="Only those that are overdue.")] = False,
    due_within: Annotated[
        int | None,
        typer.Option("--due-within", min=0, help="Only those due within so many days, or overdue."),
    ] = None,
    with_back: Annotated[bool, typer.Option("--all", help="Also those that are back.")] = False,
    officer: Officer = False,
) -> "Sequence[LoanLine]":
    """List the loans that are out, the first due first.

    obslog loan list --due-within 7

    Borrowers are named only with --officer.
    """
    from obslog.club.register.club_day import club_day
    from obslog.club.storeroom.loan_pages import line_without_names, list_loans

    if member is not None and not officer:
        raise ForTheOfficer
    loans = list_loans(
        database,
        club_day(database, now),
        member=member,
        overdue=overdue,
        due_within_days=due_within,
        with_back=with_back,
    )
    return loans if officer else [line_without_names(loan) for loan in loans]


def show_loan(
    database: "Database", now: datetime, item: Which, kind: KindOption = None, officer: Officer = False
) -> "LoanPage":
    """Show one loan, part by part.

    obslog loan show "Evening kit"

    The borrower is named only with --officer.
    """
    from obslog.club.register.club_day import club_day
    from obslog.club.storeroom.loan_pages import show_loan

    return with_names_told(show_loan(database, item, club_day(database, now), kind), officer)


def show_waiting(screen: Screen, lines: "Sequence[WaitingLine]") -> None:
    if not lines:
        screen.note("Nobody waits.")
        return
    named = any(line.member for line in lines)
    screen.table(
        ["item", "place", *(["member"] if named else []), "asked"],
        [[line.what, line.place, *([line.member] if named else []), line.asked_on] for line in lines],
    )


def reserve(
    database: "Database", now: datetime, item: KitOrItem, member: MemberName, kind: KindOption = None
) -> "Sequence[WaitingLine]":
    """Put a member at the end of a waiting list.

    obslog loan reserve "Evening kit" Tomasz
    """
    from obslog.club.storeroom.waiting_list import reserve, without_names

    waiting = reserve(database, item, member, now, kind=kind)
    return without_names(waiting, but=waiting[-1].member)


def withdraw(
    database: "Database", now: datetime, item: KitOrItem, member: MemberName, kind: KindOption = None
) -> "Sequence[WaitingLine]":
    """Take a member off a waiting list.

    obslog loan withdraw "Evening kit" Tomasz
    """
    from obslog.club.storeroom.waiting_list import withdraw, without_names

    return without_names(withdraw(database, item, member, now, kind=kind))


def list_waiting(
    database: "Database",
    item: Annotated[
        str | None, typer.Argument(help="One kit or item.", show_default="all waiting lists")
    ] = None,
    kind: KindOption = None,
    officer: Officer = False,
) -> "Sequence[WaitingLine]":
    """Show how many wait for what, in order.

    obslog loan waiting "Evening kit"

    Members are named only with --officer.
    """
    from obslog.club.storeroom.waiting_list import waiting_list, without_names

    lines = waiting_list(database, item, kind)
    return lines if officer else without_names(lines)


def print_form(state: State, item: Which, kind: KindOption = None, officer: Officer = False) -> None:
    """Write a loan form to print and sign.

    obslog loan form "Evening kit" --officer

    With --officer the borrower's name, address, phone and e-mail are filled in; without it they are lines to write on.
    """
    from obslog.club.register.club_day import club_day
    from obslog.club.register.contacts import Reach, reach_of
    from obslog.club.routine.loan_terms import read_terms
    from obslog.club.storeroom.loan_pages import show_loan
    from obslog.report.forms.loan_text import loan_form

    with state.database() as database:
        page = show_loan(database, item, club_day(database, state.now()), kind)
        borrower = page.loan.member
        reach = reach_of(database, borrower) if officer and borrower else Reach()
        statements = read_terms(database).statements
    with state.screen.raw_output() as out:
        out.write(loan_form(with_names_told(page, officer), reach, statements))


def write_calendar(
    state: State,
    into: Annotated[
        Path | None, typer.Option("--into", "--out", help="The file to write.", show_default="the screen")
    ] = None,
    officer: Annotated[
        bool, typer.Option("--officer", "--with-names", help="Name the borrowers in it.")
    ] = False,
) -> None:
    """Write the due dates as an iCalendar file.

    obslog loan calendar --into loans.ics

    A later export updates an earlier one: extended loans move, and loans that are back are cancelled.
    """
    from obslog.cli.pages.written_out import say_closed
    from obslog.club.register.club_day import club_day
    from obslog.club.storeroom.loan_pages import loans_for_calendar
    from obslog.files.atomic_file import replaced_file
    from obslog.files.output_files import output_in_sentences
    from obslog.report.loan_calendar import loan_calendar

    now = state.now()
    with state.database() as database:
        content = loan_calendar(
            loans_for_calendar(database, club_day(database, now)), now, with_names=officer
        )
    if into is None:
        with state.screen.raw_output() as out:
            out.write(content.decode())
        return
    with (
        say_closed(into, state, private=officer),
        output_in_sentences(into),
        replaced_file(into.resolve(), private=officer) as draft,
    ):
        draft.write_bytes(content)
    state.screen.note(f"Written: {into}")
