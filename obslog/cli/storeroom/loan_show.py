"""Loans as they are looked at: lists, and one loan part by part."""

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.storeroom.loan_options import (
    Which,
    show_loan_page,
    with_names_told,
)
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import KindOption, Officer
from obslog.cli.terminal.screen import Screen
from obslog.errors import WrongInput

if TYPE_CHECKING:
    from obslog.club.storeroom.loan_pages import LoanLine, LoanPage
    from obslog.records.database import Database


class ForTheOfficer(WrongInput):
    def __init__(self) -> None:
        super().__init__("Who has what is shown only to the officer.", "Add --officer.")


def add_to(app: typer.Typer) -> None:
    command(app, "list", show=show_loans)(list_loans)
    command(app, "show", show=show_loan_page)(show_loan)


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
                loan.state,
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
