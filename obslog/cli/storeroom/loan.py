"""Loans: out, back, renewed, handed over."""

from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.storeroom.loan_show import present_page
from obslog.cli.terminal.options import AsJson, KindOption, Note
from obslog.cli.terminal.state import state_of
from obslog.times import read_date

if TYPE_CHECKING:
    from obslog.club.storeroom.loan_records import Papers

app = typer.Typer(help="Loans: who has what, since when, until when.", no_args_is_help=True)

What = Annotated[str, typer.Argument(help="The kit, or one thing.", show_default=False)]
Who = Annotated[str, typer.Argument(help="The member.", show_default=False)]
On = Annotated[str | None, typer.Option("--on", help="The day.", show_default="today")]
Due = Annotated[str | None, typer.Option("--due", help="Due back on this day.", show_default="by the term")]
By = Annotated[str | None, typer.Option("--by", help="The officer who did it.")]
Parts = Annotated[
    list[str] | None,
    typer.Option("--part", help="'PART=good|worn|damaged|missing', or with ': words'; once for each."),
]
AllGood = Annotated[bool, typer.Option("--all-good", help="All other parts were looked at and are good.")]
Terms = Annotated[
    bool | None, typer.Option("--terms/--no-terms", help="The terms were agreed to.", show_default=False)
]
Trained = Annotated[
    bool | None,
    typer.Option("--trained/--not-trained", help="The borrower was shown how.", show_default=False),
]
Deposit = Annotated[float | None, typer.Option("--deposit", help="The deposit, in the club's money.")]
PassOver = Annotated[bool, typer.Option("--pass-over", help="Although others wait.")]


@app.command("out")
def out(
    context: typer.Context,
    what: What,
    who: Who,
    on: On = None,
    due: Due = None,
    parts: Parts = None,
    all_good: AllGood = False,
    terms: Terms = None,
    trained: Trained = None,
    deposit: Deposit = None,
    by: By = None,
    pass_over: PassOver = False,
    kind: KindOption = None,
    note: Note = None,
    as_json: AsJson = False,
) -> None:
    """Lend a kit or a thing: obslog loan out 'Evening kit' Ines --all-good --terms

    Parts that are missing, retired or lent apart stay behind.
    """
    from obslog.club.storeroom.loans import lend
    from obslog.club.storeroom.part_conditions import read_conditions

    state = state_of(context)
    with state.database() as database:
        page = lend(
            database,
            what,
            who,
            state.now(),
            kind=kind,
            on=read_date(on) if on else None,
            due=read_date(due) if due else None,
            conditions=read_conditions(parts or []),
            all_good=all_good,
            papers=_papers(terms, trained, deposit, note),
            by=by,
            pass_over=pass_over,
        )
    present_page(state, page, as_json)


@app.command("back")
def back(
    context: typer.Context,
    what: What,
    on: On = None,
    parts: Parts = None,
    all_good: AllGood = False,
    deposit_returned: Annotated[
        bool | None,
        typer.Option("--deposit-returned/--deposit-kept", help="The deposit.", show_default=False),
    ] = None,
    by: By = None,
    kind: KindOption = None,
    as_json: AsJson = False,
) -> None:
    """Take a loan back: obslog loan back 'Evening kit' --part 'Wide 25=missing' --all-good"""
    from obslog.club.storeroom.loans import take_back
    from obslog.club.storeroom.part_conditions import read_conditions

    state = state_of(context)
    with state.database() as database:
        page = take_back(
            database,
            what,
            state.now(),
            kind=kind,
            on=read_date(on) if on else None,
            conditions=read_conditions(parts or []),
            all_good=all_good,
            by=by,
            deposit_returned=deposit_returned,
        )
    present_page(state, page, as_json)


@app.command("renew")
def renew(
    context: typer.Context,
    what: What,
    until: Annotated[
        str | None, typer.Option("--until", help="The new due date.", show_default="another term")
    ] = None,
    kind: KindOption = None,
    as_json: AsJson = False,
) -> None:
    """Put a loan's due date off; not where somebody waits."""
    from obslog.club.storeroom.loans import renew as renew_it

    state = state_of(context)
    with state.database() as database:
        page = renew_it(database, what, state.now(), kind=kind, until=read_date(until) if until else None)
    present_page(state, page, as_json)


@app.command("hand-over")
def hand_over(
    context: typer.Context,
    what: What,
    who: Annotated[str, typer.Argument(help="The next borrower.", show_default=False)],
    on: On = None,
    due: Due = None,
    parts: Parts = None,
    all_good: AllGood = False,
    terms: Terms = None,
    trained: Trained = None,
    deposit: Deposit = None,
    pass_over: PassOver = False,
    kind: KindOption = None,
    note: Note = None,
    as_json: AsJson = False,
) -> None:
    """Pass a loan on from member to member: obslog loan hand-over 'Evening kit' Tomasz"""
    from obslog.club.storeroom.loans import hand_over as hand_it_over
    from obslog.club.storeroom.part_conditions import read_conditions

    state = state_of(context)
    with state.database() as database:
        page = hand_it_over(
            database,
            what,
            who,
            state.now(),
            kind=kind,
            on=read_date(on) if on else None,
            due=read_date(due) if due else None,
            conditions=read_conditions(parts or []),
            all_good=all_good,
            papers=_papers(terms, trained, deposit, note),
            pass_over=pass_over,
        )
    present_page(state, page, as_json)


def _papers(terms: bool | None, trained: bool | None, deposit: float | None, note: str | None) -> "Papers":
    from obslog.club.storeroom.loan_records import Papers

    return Papers(terms, trained, deposit, note)
