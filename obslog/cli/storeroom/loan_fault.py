"""A fault that a borrower tells of."""

from typing import Annotated

import typer

from obslog.cli.storeroom.loan_show import present_page
from obslog.cli.terminal.options import AsJson, KindOption
from obslog.cli.terminal.state import state_of
from obslog.times import read_date
from obslog.vocabulary import Step


def add_to(app: typer.Typer) -> None:
    app.command("fault")(fault)


def fault(
    context: typer.Context,
    what: Annotated[
        str, typer.Argument(help="The kit or thing that is out, or the loan's mark.", show_default=False)
    ],
    words: Annotated[list[str], typer.Argument(metavar="TEXT", help="What is wrong.", show_default=False)],
    part: Annotated[str | None, typer.Option("--part", help="The part that has it.")] = None,
    step: Annotated[
        Step, typer.Option("--step", help="The step of the set-up where it shows.")
    ] = Step.ASSEMBLE,
    on: Annotated[str | None, typer.Option("--on", help="The day.", show_default="today")] = None,
    kind: KindOption = None,
    as_json: AsJson = False,
) -> None:
    """Note a fault that a borrower tells of: obslog loan fault 'Evening kit' clutch slips --part Heron

    Told within the first nights it is not laid to the borrower (rule fault-days). It becomes an open snag of the thing.
    """
    from obslog.club.storeroom.loan_faults import tell_fault

    state = state_of(context)
    day = read_date(on) if on else None
    with state.database() as database:
        page = tell_fault(
            database, what, " ".join(words), state.now(), part=part, step=step, on=day, kind=kind
        )
    present_page(state, page, as_json)
