"""Which kit to lend next, to whom."""

from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.options import AsJson, Officer
from obslog.cli.terminal.state import State, state_of

if TYPE_CHECKING:
    from obslog.club.review.lending_advice import AdviceFor, NextLoan


def add_to(app: typer.Typer) -> None:
    app.command("advise")(advise)


def advise(
    context: typer.Context,
    member: Annotated[
        str | None, typer.Argument(help="The borrower.", show_default="to whom each kit goes next")
    ] = None,
    officer: Officer = False,
    as_json: AsJson = False,
) -> None:
    """Which kit to lend, by experience, aperture, weight, the review and who waits: obslog loan advise Noor

    The limits for beginners are rules of the rule book: obslog rule list.
    """
    from obslog.club.review.lending_advice import advise_for, next_loans

    state = state_of(context)
    today = state.now().date()
    with state.database() as database:
        if member is not None:
            _present_advice(state, advise_for(database, member, today), as_json)
        else:
            _present_next(state, next_loans(database, today, with_names=officer), as_json)


def _present_advice(state: State, advice: "AdviceFor", as_json: bool) -> None:
    screen = state.screen
    if as_json:
        screen.json(advice)
        return
    counted = f"{advice.setups} set-up{'' if advice.setups == 1 else 's'} on record"
    beginner = ", a beginner by the rule book" if advice.beginner else ""
    screen.line(f"{advice.member}: {counted}{beginner}", style="bold")
    if not advice.kits:
        screen.note("No kits on record: obslog kit add --help")
        return
    for kit in advice.kits:
        size = f", {kit.aperture_mm:g} mm" if kit.aperture_mm else ""
        weight = f", {kit.weight_kg:g} kg" if kit.weight_kg else ""
        screen.line(f"{kit.fit}: {kit.kit}{size}{weight}")
        _say_why(state, kit.reasons)


def _present_next(state: State, loans: "list[NextLoan]", as_json: bool) -> None:
    screen = state.screen
    if as_json:
        screen.json(loans)
    elif not loans:
        screen.note("No kits on record: obslog kit add --help")
    else:
        for loan in loans:
            screen.line(
                f"{loan.kit}: {loan.member}, {loan.fit}" if loan.member else f"{loan.kit}: nobody waits"
            )
            _say_why(state, loan.reasons)
        screen.note("For one borrower: obslog loan advise MEMBER")


def _say_why(state: State, reasons: "list[str]") -> None:
    for reason in reasons:
        state.screen.line(reason, indent=4)
