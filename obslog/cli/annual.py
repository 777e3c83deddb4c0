"""The equipment officer's report."""

from pathlib import Path
from typing import Annotated

import typer

from obslog.cli.terminal.options import AsJson, Officer
from obslog.cli.terminal.state import state_of
from obslog.errors import WrongInput
from obslog.times import read_date

app = typer.Typer(help="The equipment officer: the report for the annual meeting.", no_args_is_help=True)


class NoPage(WrongInput):
    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{path} is not named as a page.",
            "Name a file that ends in .html; for plain text leave --into away.",
        )


@app.callback()
def group() -> None:
    """The equipment officer: the report for the annual meeting."""


@app.command("report")
def report(
    context: typer.Context,
    first: Annotated[
        str | None, typer.Option("--from", help="The first day.", show_default="a year before the last")
    ] = None,
    last: Annotated[str | None, typer.Option("--to", help="The last day.", show_default="yesterday")] = None,
    into: Annotated[
        Path | None, typer.Option("--into", help="A page to print, FILE.html.", show_default="the screen")
    ] = None,
    officer: Officer = False,
    as_json: AsJson = False,
) -> None:
    """The store-room's year on one page: obslog officer report --from 2026-01-01 --to 2026-12-31

    Borrowers are counted; with --officer they are named.
    """
    from obslog.club.annual.report import annual_report, period_of

    if into is not None and into.suffix.casefold() != ".html":
        raise NoPage(into)
    state = state_of(context)
    now = state.now()
    period = period_of(read_date(first) if first else None, read_date(last) if last else None, now)
    with state.database() as database:
        found = annual_report(database, period, now.date(), with_names=officer)
    if into is not None:
        from obslog.records.driver_errors import files_in_sentences
        from obslog.report.annual_html import annual_page

        with files_in_sentences(str(into)):
            into.write_text(annual_page(found), encoding="utf-8")
        state.screen.note(f"Written: {into}")
    if as_json:
        state.screen.json(found)
    elif into is None:
        from obslog.report.annual_text import annual_text

        for line in annual_text(found):
            state.screen.line(line)
