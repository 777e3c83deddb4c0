"""Purchases wanted: on the screen, and as a sheet for the committee."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.money import known_money
from obslog.report.forms.paper import PaperSize

if TYPE_CHECKING:
    from obslog.club.buying.wanted import Purchases


def show_wanted(screen: Screen, found: "Purchases", out: Path | None) -> None:
    """Each with its reasons; where it was written into a file, only what it comes to."""
    from obslog.club.buying.wanted_form import NOT_KNOWN, sentences, sure_words

    if out is None:
        for one in found.wanted:
            screen.line(f"{one.place}. {one.what}", style="bold", hang=3)
            for reason in one.reasons:
                screen.line(reason, indent=4, hang=2)
            screen.line(sure_words(one), indent=4, hang=2)
            screen.line(f"costs: {known_money(one.costs, found.currency) or NOT_KNOWN}", indent=4)
        if found.wanted:
            screen.line()
    for sentence in sentences(found):
        screen.line(sentence, hang=2)
    if out is None and found.wanted:
        screen.line(found.ranking, hang=2)


def add_wanted(app: typer.Typer) -> None:
    """Put the command among the officer's."""
    command(app, "wanted", show=show_wanted)(wanted)


def wanted(
    state: State,
    out: Annotated[
        Path | None, typer.Option("--out", help="FILE.pdf or FILE.html.", show_default="the screen")
    ] = None,
    paper: Annotated[PaperSize, typer.Option("--paper", help="The paper.")] = PaperSize.A4,
    overwrite: Annotated[
        bool, typer.Option("--overwrite", help="Write over a file that is not a sheet of obslog.")
    ] = False,
) -> "Purchases":
    """Say what to buy, with the evidence, ranked.

    By who waits and for how long, what was written off and not replaced, what is missing, and what is nearly
    always in use; each with its numbers and how sure they are. The rules are those that begin with wanted, in rule
    list. Nobody is named.

    obslog officer wanted --out wanted.pdf
    """
    from obslog.club.buying.wanted import purchases_wanted
    from obslog.club.register.club_day import club_day
    from obslog.report.forms.printed import put_sheet, refuse_another_file

    if out is not None:
        refuse_another_file(out, overwrite=overwrite)
    with state.database() as database:
        found = purchases_wanted(database, club_day(database, state.now()))
    if out is not None:
        from obslog.club.buying.wanted_form import wanted_form

        put_sheet(wanted_form(found), out, paper)
        state.screen.note(f"Written: {out}")
    return found
