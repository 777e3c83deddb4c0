"""Loans as they are looked at: lists, one loan, who waits, a form to print, a calendar."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.options import AsJson, KindOption, Officer
from obslog.cli.terminal.state import State, state_of
from obslog.errors import WrongInput

if TYPE_CHECKING:
    from obslog.club.storeroom.loan_pages import LoanLine, LoanPage
    from obslog.club.storeroom.waiting_list import WaitingLine

What = Annotated[str, typer.Argument(help="The kit or thing, or the loan's mark.", show_default=False)]


class ForTheOfficer(WrongInput):
    def __init__(self) -> None:
        super().__init__("Who has what is told to the officer alone.", "Say --officer too.")


def add_to(app: typer.Typer) -> None:
    for name, command in (
        ("list", list_),
        ("show", show),
        ("reserve", reserve),
        ("withdraw", withdraw),
        ("waiting", waiting),
        ("form", form),
        ("calendar", calendar),
    ):
        app.command(name)(command)


def list_(
    context: typer.Context,
    member: Annotated[str | None, typer.Option("--member", help="One member's, for the officer.")] = None,
    overdue: Annotated[bool, typer.Option("--overdue", help="Those that are overdue.")] = False,
    due_within: Annotated[
        int | None, typer.Option("--due-within", min=0, help="Due within so many days, or overdue.")
    ] = None,
    with_back: Annotated[bool, typer.Option("--all", help="Also those that are back.")] = False,
    officer: Officer = False,
    as_json: AsJson = False,
) -> None:
    """List the loans that are out, the first due first: obslog loan list --due-within 7

    Who has them is told with --officer.
    """
    from obslog.club.storeroom.loan_pages import line_without_names, list_loans

    if member is not None and not officer:
        raise ForTheOfficer
    state = state_of(context)
    with state.database() as database:
        loans = list_loans(
            database,
            state.now().date(),
            member=member,
            overdue=overdue,
            due_within_days=due_within,
            with_back=with_back,
        )
    if as_json:
        state.screen.json(loans if officer else [line_without_names(loan) for loan in loans])
    elif not loans:
        state.screen.note("No such loans.")
    else:
        _present_loans(state, loans, officer)


def _present_loans(state: State, loans: "list[LoanLine]", officer: bool) -> None:
    who = ["member"] if officer else []
    state.screen.table(
        ["mark", "what", *who, "out", "due", "back", "days left", "", "waiting"],
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


def show(
    context: typer.Context,
    what: What,
    kind: KindOption = None,
    officer: Officer = False,
    as_json: AsJson = False,
) -> None:
    """Show one loan part by part, with what differs between out and in; who has it with --officer."""
    from obslog.club.storeroom.loan_pages import page_without_names, show_loan

    state = state_of(context)
    with state.database() as database:
        page = show_loan(database, what, state.now().date(), kind)
    present_page(state, page if officer else page_without_names(page), as_json)


def reserve(
    context: typer.Context,
    what: What,
    who: Annotated[str, typer.Argument(help="The member.", show_default=False)],
    kind: KindOption = None,
    as_json: AsJson = False,
) -> None:
    """Put a member at the end of the waiting list: obslog loan reserve 'Evening kit' Tomasz"""
    from obslog.club.storeroom.waiting_list import reserve as reserve_it
    from obslog.club.storeroom.waiting_list import without_names

    state = state_of(context)
    with state.database() as database:
        lines = reserve_it(database, what, who, state.now(), kind=kind)
    _present_waiting(state, without_names(lines, but=who), as_json)


def withdraw(
    context: typer.Context,
    what: What,
    who: Annotated[str, typer.Argument(help="The member.", show_default=False)],
    kind: KindOption = None,
    as_json: AsJson = False,
) -> None:
    """Take a member off the waiting list."""
    from obslog.club.storeroom.waiting_list import withdraw as withdraw_it
    from obslog.club.storeroom.waiting_list import without_names

    state = state_of(context)
    with state.database() as database:
        lines = withdraw_it(database, what, who, state.now(), kind=kind)
    _present_waiting(state, without_names(lines), as_json)


def waiting(
    context: typer.Context,
    what: Annotated[str | None, typer.Argument(help="One kit or thing.", show_default="all")] = None,
    kind: KindOption = None,
    officer: Officer = False,
    as_json: AsJson = False,
) -> None:
    """How many wait for what, in order, since when; who with --officer."""
    from obslog.club.storeroom.waiting_list import waiting_list, without_names

    state = state_of(context)
    with state.database() as database:
        lines = waiting_list(database, what, kind)
    _present_waiting(state, lines if officer else without_names(lines), as_json)


def form(context: typer.Context, what: What, kind: KindOption = None, officer: Officer = False) -> None:
    """A loan form to print and sign: obslog loan form 'Evening kit'

    With --officer the borrower's address, phone and e-mail are filled in; without, they are lines to write on.
    """
    from obslog.club.register.contacts import Reach, reach_of
    from obslog.club.storeroom.loan_pages import show_loan
    from obslog.report.loan_form import loan_form

    state = state_of(context)
    with state.database() as database:
        page = show_loan(database, what, state.now().date(), kind)
        borrower = page.loan.member
        reach = reach_of(database, borrower) if officer and borrower else Reach()
    with state.screen.raw_output() as out:
        out.write(loan_form(page, reach))


def calendar(
    context: typer.Context,
    into: Annotated[Path | None, typer.Option("--into", help="A file.", show_default="the screen")] = None,
    with_names: Annotated[bool, typer.Option("--with-names", help="Say who has each thing.")] = False,
) -> None:
    """Due dates as an iCalendar file: obslog loan calendar --into loans.ics

    A later export updates an earlier one: renewals move, and loans that are back are cancelled.
    """
    from obslog.club.storeroom.loan_pages import loans_for_calendar
    from obslog.records.driver_errors import files_in_sentences
    from obslog.report.loan_calendar import loan_calendar

    state = state_of(context)
    now = state.now()
    with state.database() as database:
        content = loan_calendar(loans_for_calendar(database, now.date()), now, with_names=with_names)
    if into is None:
        with state.screen.raw_output() as out:
            out.write(content.decode())
        return
    with files_in_sentences(str(into)):
        into.write_bytes(content)
    state.screen.note(f"Written: {into}")


def present_page(state: State, page: "LoanPage", as_json: bool) -> None:
    if as_json:
        state.screen.json(page)
        return
    loan, screen = page.loan, state.screen
    back = f"back on {loan.back_on}" if loan.back_on else f"due {loan.due_on}"
    who = f"{loan.member}, " if loan.member else ""
    screen.line(f"{loan.what}: {who}out {loan.out_on}, {back}", style="bold")
    screen.table(
        ["part", "out", "in", "differs", "words"],
        [[p.part, p.condition_out, p.condition_in, p.differs, p.note_in or p.note_out] for p in page.parts],
    )
    for told in page.parts:
        if told.fault is not None:
            whose = "; not laid to the borrower" if told.came_with_it else ""
            screen.line(f"fault told on {told.fault_on}{whose}: {told.part}: {told.fault}")
    for part in page.left_behind:
        screen.line(f"stayed behind: {part}")
    known = (
        ("handed over from", page.handed_over_from),
        ("issued by", page.issued_by),
        ("received by", page.received_by),
        ("terms agreed", page.terms_agreed),
        ("trained", page.trained),
        ("deposit", page.deposit),
        ("deposit returned", page.deposit_returned),
        ("renewals", loan.renewals or None),
        ("waiting", loan.waiting or None),
        ("note", page.note),
    )
    screen.fields((name, value) for name, value in known if value is not None)


def _present_waiting(state: State, lines: "list[WaitingLine]", as_json: bool) -> None:
    if as_json:
        state.screen.json(lines)
    elif not lines:
        state.screen.note("Nobody waits.")
    else:
        named = any(line.member for line in lines)
        state.screen.table(
            ["what", "place", *(["member"] if named else []), "asked"],
            [
                [line.what, line.place, *([line.member] if named else []), line.asked_utc.date()]
                for line in lines
            ],
        )
