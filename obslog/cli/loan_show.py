"""Loans as they are looked at: lists, one loan, who waits, a form to print, a calendar."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.options import AsJson, KindOption
from obslog.cli.state import State, state_of

if TYPE_CHECKING:
    from obslog.club.loan_pages import LoanPage
    from obslog.club.reservations import WaitingLine

What = Annotated[str, typer.Argument(help="The kit or thing, or the loan's mark.", show_default=False)]


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
    member: Annotated[str | None, typer.Option("--member", help="One member's.")] = None,
    overdue: Annotated[bool, typer.Option("--overdue", help="Those that are overdue.")] = False,
    due_within: Annotated[
        int | None, typer.Option("--due-within", min=0, help="Due within so many days, or overdue.")
    ] = None,
    with_back: Annotated[bool, typer.Option("--all", help="Also those that are back.")] = False,
    as_json: AsJson = False,
) -> None:
    """List the loans that are out, the first due first: obslog loan list --due-within 7"""
    from obslog.club.loan_pages import list_loans

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
        state.screen.json(loans)
    elif not loans:
        state.screen.note("No such loans.")
    else:
        state.screen.table(
            ["mark", "what", "member", "out", "due", "back", "days left", "", "waiting"],
            [
                [
                    loan.mark,
                    loan.what,
                    loan.member,
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


def show(context: typer.Context, what: What, kind: KindOption = None, as_json: AsJson = False) -> None:
    """Show one loan part by part, with what differs between out and in."""
    from obslog.club.loan_pages import show_loan

    state = state_of(context)
    with state.database() as database:
        page = show_loan(database, what, state.now().date(), kind)
    present_page(state, page, as_json)


def reserve(
    context: typer.Context,
    what: What,
    who: Annotated[str, typer.Argument(help="The member.", show_default=False)],
    kind: KindOption = None,
    as_json: AsJson = False,
) -> None:
    """Put a member at the end of the waiting list: obslog loan reserve 'Evening kit' Tomasz"""
    from obslog.club.reservations import reserve as reserve_it

    state = state_of(context)
    with state.database() as database:
        _present_waiting(state, reserve_it(database, what, who, state.now(), kind=kind), as_json)


def withdraw(
    context: typer.Context,
    what: What,
    who: Annotated[str, typer.Argument(help="The member.", show_default=False)],
    kind: KindOption = None,
    as_json: AsJson = False,
) -> None:
    """Take a member off the waiting list."""
    from obslog.club.reservations import withdraw as withdraw_it

    state = state_of(context)
    with state.database() as database:
        _present_waiting(state, withdraw_it(database, what, who, state.now(), kind=kind), as_json)


def waiting(
    context: typer.Context,
    what: Annotated[str | None, typer.Argument(help="One kit or thing.", show_default="all")] = None,
    kind: KindOption = None,
    as_json: AsJson = False,
) -> None:
    """Who waits for what, in order."""
    from obslog.club.reservations import waiting_list

    state = state_of(context)
    with state.database() as database:
        _present_waiting(state, waiting_list(database, what, kind), as_json)


def form(context: typer.Context, what: What, kind: KindOption = None) -> None:
    """A loan form to print and sign: obslog loan form 'Evening kit'"""
    from obslog.club.loan_pages import show_loan
    from obslog.exchange.loan_form import loan_form

    state = state_of(context)
    with state.database() as database:
        page = show_loan(database, what, state.now().date(), kind)
    with state.screen.raw_output() as out:
        out.write(loan_form(page))


def calendar(
    context: typer.Context,
    into: Annotated[Path | None, typer.Option("--into", help="A file.", show_default="the screen")] = None,
    with_names: Annotated[bool, typer.Option("--with-names", help="Say who has each thing.")] = False,
) -> None:
    """Due dates as an iCalendar file: obslog loan calendar --into loans.ics

    A later export updates an earlier one: renewals move, and loans that are back are cancelled.
    """
    from obslog.club.loan_pages import loans_for_calendar
    from obslog.exchange.loan_calendar import loan_calendar
    from obslog.records.failures import files_in_sentences

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
    screen.line(f"{loan.what}: {loan.member}, out {loan.out_on}, {back}", style="bold")
    screen.table(
        ["part", "out", "in", "differs", "words"],
        [[p.part, p.condition_out, p.condition_in, p.differs, p.note_in or p.note_out] for p in page.parts],
    )
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
        state.screen.table(
            ["what", "place", "member", "asked"],
            [[line.what, line.place, line.member, line.asked_utc.date()] for line in lines],
        )
