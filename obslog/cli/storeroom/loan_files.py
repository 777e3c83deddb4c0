"""Loans on paper and in calendars: a form to print and sign, due dates as an iCalendar file."""

from pathlib import Path
from typing import Annotated

import typer

from obslog.cli.storeroom.loan_options import Which, with_names_told
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import KindOption, Officer
from obslog.cli.terminal.state import State


def add_to(app: typer.Typer) -> None:
    command(app, "form")(print_form)
    command(app, "calendar")(write_calendar)


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
