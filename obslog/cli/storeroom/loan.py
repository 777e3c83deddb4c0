"""Loans: out, back, extended, handed over, and faults that borrowers report."""

from datetime import date, datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.review import loan_advice
from obslog.cli.storeroom import loan_calls, loan_files, loan_remind, loan_show, loan_waiting
from obslog.cli.storeroom.loan_options import (
    AllGood,
    GoingOptions,
    KitOrItem,
    MemberName,
    Parts,
    Which,
    show_loan_page,
    with_names_told,
)
from obslog.cli.storeroom.loan_terms import terms_agreed
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import SHIPPED_AND_OWN, KindOption, Officer, On, day
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.errors import quoted
from obslog.vocabulary.steps import Step

if TYPE_CHECKING:
    from obslog.club.storeroom.loan_pages import LoanPage
    from obslog.records.database import Database

app = typer.Typer(help="Loans: who has what, and until when.", no_args_is_help=True)

By = Annotated[str | None, typer.Option("--by", help="The officer who did it.")]
DepositReturned = Annotated[
    bool | None,
    typer.Option("--deposit-returned/--deposit-kept", help="What became of the deposit.", show_default=False),
]


@command(app, "out", show=show_loan_page)
def lend_out(
    database: "Database",
    now: datetime,
    state: State,
    item: KitOrItem,
    member: MemberName,
    going: GoingOptions,
    by: By = None,
    kind: KindOption = None,
) -> "LoanPage":
    """Lend a kit, or a single item.

    obslog loan out "Evening kit" Ines --all-good --terms

    Parts that are missing, retired or lent separately stay behind.
    """
    from obslog.club.storeroom.loans import lend

    agreed = terms_agreed(database, state, going.terms)
    page = lend(database, item, member, now, kind=kind, by=by, **going.how(database, agreed))
    return with_names_told(page, False, but=page.loan.member)


def show_taken_back(screen: Screen, page: "LoanPage") -> None:
    show_loan_page(screen, page)
    if page.out_again:
        screen.line(
            f"{page.loan.what} is out again: a loan that another laptop noted had waited for this one to end. "
            f"If it is in your hand, take that one back too: obslog loan back {quoted(page.loan.what)}",
            style="bold",
        )
    if page.loan.waiting:
        screen.note("Who is next, and a letter to write to them: obslog loan remind --officer")


@command(app, "back", show=show_taken_back)
def take_loan_back(
    database: "Database",
    now: datetime,
    item: KitOrItem,
    on: On = None,
    parts: Parts = None,
    all_good: AllGood = False,
    deposit_returned: DepositReturned = None,
    by: By = None,
    kind: KindOption = None,
    officer: Officer = False,
) -> "LoanPage":
    """Take a loan back.

    obslog loan back "Evening kit" --part "Wide 25=missing" --all-good
    """
    from obslog.club.routine.condition_words import read_words
    from obslog.club.routine.part_conditions import read_conditions
    from obslog.club.storeroom.loans import take_back

    page = take_back(
        database,
        item,
        now,
        kind=kind,
        on=on,
        conditions=read_conditions(parts or [], read_words(database)),
        all_good=all_good,
        by=by,
        deposit_returned=deposit_returned,
    )
    return with_names_told(page, officer)


@command(app, "renew", show=show_loan_page)
def renew_loan(
    database: "Database",
    now: datetime,
    item: KitOrItem,
    until: Annotated[
        date | None, day("--until", help="The new due date.", show_default="another term")
    ] = None,
    beyond_terms: Annotated[
        bool, typer.Option("--beyond-terms", help="Also more often than the club's terms say.")
    ] = False,
    kind: KindOption = None,
    officer: Officer = False,
) -> "LoanPage":
    """Extend a loan, unless somebody waits.

    obslog loan renew "Evening kit"
    """
    from obslog.club.storeroom.loans import renew

    page = renew(database, item, now, kind=kind, until=until, beyond_terms=beyond_terms)
    return with_names_told(page, officer)


@command(app, "hand-over", show=show_loan_page)
def hand_loan_over(
    database: "Database",
    now: datetime,
    state: State,
    item: KitOrItem,
    member: MemberName,
    going: GoingOptions,
    kind: KindOption = None,
    officer: Officer = False,
) -> "LoanPage":
    """Pass a loan on from one member to the next.

    obslog loan hand-over "Evening kit" Tomasz
    """
    from obslog.club.storeroom.loans import hand_over

    agreed = terms_agreed(database, state, going.terms)
    page = hand_over(database, item, member, now, kind=kind, **going.how(database, agreed))
    return with_names_told(page, officer, but=page.loan.member)


@command(app, "fault", show=show_loan_page)
def report_fault(
    database: "Database",
    now: datetime,
    item: Which,
    words: Annotated[list[str], typer.Argument(metavar="TEXT", help="What is wrong.", show_default=False)],
    part: Annotated[str | None, typer.Option("--part", help="The part that has the fault.")] = None,
    step: Annotated[
        str, typer.Option("--step", help=f"The step of the set-up at which it shows: {SHIPPED_AND_OWN}.")
    ] = Step.ASSEMBLE.value,
    on: On = None,
    kind: KindOption = None,
    officer: Officer = False,
) -> "LoanPage":
    """Record a fault that the borrower reports.

    obslog loan fault "Evening kit" clutch slips --part Heron

    Of a kit say which part, by --part, or name that part in place of the kit.

    It becomes an open snag of the item. Reported within the first days (the rule fault-days), it is not held against
    the borrower.
    """
    from obslog.club.storeroom.loan_faults import report_fault

    page = report_fault(database, item, " ".join(words), now, part=part, step=step, on=on, kind=kind)
    return with_names_told(page, officer)


loan_show.add_to(app)
loan_waiting.add_to(app)
loan_files.add_to(app)
loan_remind.add_to(app)
loan_calls.add_to(app)
loan_advice.add_to(app)
