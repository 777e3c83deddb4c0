"""The equipment officer's commands: the report of the year; the records' health and handing over are `office`'s."""

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.buying.wanted import add_wanted
from obslog.cli.office.insurance import add_insurance
from obslog.cli.office.office import add_office
from obslog.cli.office.thanks import add_thanks
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import Officer, day
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.errors import ObslogError, WrongInput

if TYPE_CHECKING:
    from obslog.club.annual.report_records import AnnualReport

HELP = "The officer: reports, papers, purchases, handing over."
app = typer.Typer(help=HELP, no_args_is_help=True)


class NoPage(WrongInput):
    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{path} is not the name of a page.",
            "Name a file that ends in .html; for plain text leave --into out.",
        )


class NotAReport(ObslogError):
    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{path} is there already, and is not a report's page.",
            "Name another file, or give --overwrite to write over it.",
        )


def show_report(screen: Screen, found: "AnnualReport", into: Path | None) -> None:
    """The page of 80 columns, or what a narrower screen has room for; nothing where a page was written."""
    from rich.cells import cell_len

    from obslog.report.annual.text import WIDTH, annual_text

    if into is not None:
        return
    if screen.fits(WIDTH):
        for line in annual_text(found, cell_len):
            screen.line(line)
    else:
        _show_narrow(screen, found)


def _show_narrow(screen: Screen, found: "AnnualReport") -> None:
    """The same sections, wrapped to the screen; a table that does not fit becomes blocks, as everywhere."""
    from obslog.report.annual.sections import annual_sections, title, up_to_today
    from obslog.report.annual.text import MOST_ROWS, rows_in_words, rows_left_out, shortened

    for line in (title(found), up_to_today(found)):
        if line is not None:
            screen.line(line, hang=2)
    for section in annual_sections(found):
        screen.line()
        screen.line(section.title.upper(), hang=2)
        for line in section.lines:
            screen.line(shortened(line), indent=2, hang=2)
        if section.table is not None and section.table.rows:
            screen.table(section.table.columns, rows_in_words(section.table, MOST_ROWS))
            more = rows_left_out(section.table, MOST_ROWS)
            if more is not None:
                screen.line(more, indent=2)


@command(app, "report", show=show_report)
def report(
    state: State,
    first: Annotated[
        date | None, day("--from", help="The first day.", show_default="a year before the last")
    ] = None,
    last: Annotated[date | None, day("--to", help="The last day.", show_default="yesterday")] = None,
    into: Annotated[
        Path | None,
        typer.Option("--into", "--out", help="A page to print, FILE.html.", show_default="the screen"),
    ] = None,
    overwrite: Annotated[
        bool, typer.Option("--overwrite", help="Write over a file that is not a report's page.")
    ] = False,
    officer: Officer = False,
) -> "AnnualReport":
    """Report the store-room's year on one page.

    obslog officer report --from 2026-01-01 --to 2026-12-31

    Borrowers are counted; with --officer they are named. A report's own earlier page is written over.
    """
    from obslog.club.annual.report import annual_report, period_of
    from obslog.club.register.club_day import club_day

    if into is not None:
        _refuse_another_file(into, overwrite)
    now = state.now()
    with state.database() as database:
        today = club_day(database, now)
        found = annual_report(database, period_of(first, last, today, now), today, with_names=officer)
    if into is not None:
        from obslog.cli.pages.written_out import write_page
        from obslog.report.pages.annual_page import annual_page

        write_page(annual_page(found), into, state, private=officer)
        state.screen.note(f"Written: {into}")
    return found


def _refuse_another_file(path: Path, overwrite: bool) -> None:
    """A page takes the place of an earlier one, and of nothing else unless that is asked for."""
    from obslog.files.output_files import output_in_sentences
    from obslog.report.pages.annual_page import is_annual_page

    if path.suffix.casefold() != ".html":
        raise NoPage(path)
    with output_in_sentences(path):
        if overwrite or not path.exists():
            return
        with path.open(encoding="utf-8", errors="replace") as file:
            if not is_annual_page(file.read(1000)):
                raise NotAReport(path)


add_office(app)
add_insurance(app)
add_thanks(app)
add_wanted(app)
