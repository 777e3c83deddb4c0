"""The office as a whole: the health of the records, and handing over."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.pages.written_out import Overwrite
from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State

if TYPE_CHECKING:
    from obslog.club.office.handing_over import HandedOver
    from obslog.club.office.health import RecordsHealth
    from obslog.records.database import Database
    from obslog.report.pages.content import Part

MOST_SHOWN = 10
ShowAll = Annotated[bool, typer.Option("--all", help="Every finding, however many there are.")]
PageOut = Annotated[
    Path | None, typer.Option("--out", help="A page to hand over, FILE.html.", show_default="the screen")
]


def show_health(screen: Screen, found: "RecordsHealth", show_all: bool) -> None:
    if not found.found:
        screen.line("Nothing is wanting in the records.")
    for check in found.checks:
        if not check.wanting:
            continue
        screen.line(f"{check.records} of {check.looked_at}: {check.heading}", style="bold")
        shown = check.wanting if show_all else check.wanting[:MOST_SHOWN]
        screen.table(["name", "wanting", "mend it"], [[one.name, one.words, one.mend] for one in shown])
        if len(shown) < len(check.wanting):
            screen.line(f"and {len(check.wanting) - len(shown)} more: obslog officer health --all")
        screen.line()


def show_office(screen: Screen, office: "HandedOver", out: Path | None) -> None:
    if out is not None:
        return
    from obslog.report.pages.handover_page import handover_page

    page = handover_page(office)
    screen.line(page.title, style="bold")
    screen.line(page.lead)
    for section in page.sections:
        screen.line()
        screen.line(section.title, style="bold")
        for part in section.parts:
            _show_part(screen, part)
    screen.line()
    for line in page.footer:
        screen.line(line)


def _show_part(screen: Screen, part: "Part") -> None:
    """What the page for a successor is made of, on the screen; it has neither links nor pictures."""
    from obslog.report.pages.content import Bullets, Paragraph, Table

    if isinstance(part, Paragraph):
        screen.line(part.text)
    elif isinstance(part, Bullets):
        for item in part.items:
            screen.line(f"- {item}", hang=2)
    elif isinstance(part, Table):
        screen.table(part.columns, part.rows)


def add_office(app: typer.Typer) -> None:
    """Put the commands among the officer's."""
    command(app, "health", show=show_health)(health)
    command(app, "handover", show=show_office)(handover)


def health(database: "Database", show_all: ShowAll = False) -> "RecordsHealth":
    """Say what is wanting in the records.

    Items without a tag or value, kits with a part missing, mounts, tubes and sites half known, members who may
    be on record under two spellings; each with the command that mends it. The file itself is checked by db check.

    obslog officer health
    """
    from obslog.club.office.health import records_health

    return records_health(database)


def handover(state: State, out: PageOut = None, overwrite: Overwrite = False) -> "HandedOver":
    """Hand the office over: one page for a successor.

    What is out, missing, broken, due and waited for, the club's own rules, what is wanting in the records, and
    where the database and its copies lie. Borrowers are named; passwords and contacts are not there. The file can
    be read by you alone.

    obslog officer handover --out office.html
    """
    from obslog.club.office.handing_over import handed_over

    if out is not None:
        _check(out, overwrite)
    with state.database() as database:
        office = handed_over(database, state.now())
    if out is not None:
        from obslog.cli.pages.written_out import write_page
        from obslog.report.pages.handover_page import handover_page

        write_page(handover_page(office), out, state, private=True)
        state.screen.note(f"Written: {out}")
    return office


def _check(out: Path, overwrite: bool) -> None:
    from obslog.cli.pages.written_out import ENDING, NotAPagesName, check_place

    if out.suffix.casefold() != ENDING:
        raise NotAPagesName(out)
    check_place(out, overwrite=overwrite)
