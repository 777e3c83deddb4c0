"""What is kept about a member, told to them; and whose names are due to be removed."""

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import Name
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.errors import ObslogError, WrongInput, quoted

if TYPE_CHECKING:
    from obslog.club.privacy.kept_about import KeptAbout
    from obslog.club.privacy.leavers import Leaver
    from obslog.records.database import Database

ToldTo = Annotated[
    Path | None,
    typer.Option("--out", help="A file for them: FILE.html or FILE.json.", show_default="the screen"),
]
Overwrite = Annotated[bool, typer.Option("--overwrite", help="Write over a file that is there.")]


class NeitherPageNorJson(WrongInput):
    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{str(path)!r} is neither a page nor JSON.", "Name a file that ends in .html or .json."
        )


class ToldFileThere(ObslogError):
    def __init__(self, path: Path) -> None:
        super().__init__(f"{path} is there already.", "Name another file, or give --overwrite.")


def show_told(screen: Screen, told: "KeptAbout", out: Path | None) -> None:
    if out is not None:
        return
    from obslog.report.pages.told_page import ends

    screen.line(f"Kept about {told.member} on {told.day}:", style="bold")
    for section in told.sections:
        screen.line()
        screen.line(section.title, style="bold")
        screen.line(section.why)
        screen.table(section.columns, section.rows)
    screen.line()
    for line in ends(told):
        screen.line(line)


def show_leavers(screen: Screen, found: "list[Leaver]") -> None:
    if not found:
        screen.line("Nobody who left is on record by name.")
        return
    screen.table(
        ["name", "left on", "due on", "due", "has something out"],
        [[one.name, one.left_on, one.due_on, one.due, one.has_out] for one in found],
    )
    first = next((one for one in found if one.due and not one.has_out), None)
    if first is not None:
        screen.line(f"Remove a name for good, look first: obslog member leave {quoted(first.name)} --look")


def tell_members(app: typer.Typer) -> None:
    """Put the commands among those of members."""
    command(app, "tell", show=show_told)(tell)
    command(app, "leavers", show=show_leavers)(leavers)


def tell(state: State, name: Name, out: ToldTo = None, overwrite: Overwrite = False) -> "KeptAbout":
    """Tell everything that is kept about a member, and why.

    obslog member tell "Ines Okafor" --out ines.html

    It is for the member alone: contact, notes and old words of corrections stand in it. Other members are not
    named, but free texts stand as they were written. The file can be read by you alone.
    """
    from obslog.club.privacy.kept_about import kept_about

    if out is not None:
        _check(out, overwrite)
    with state.database() as database:
        told = kept_about(database, name, state.now())
    if out is not None:
        _write(told, out, state)
    return told


def leavers(database: "Database", now: datetime) -> "list[Leaver]":
    """List who left, and when their names are due to go.

    Whoever was retired has left. The rule keep-leavers-months says how long their names are kept.

    obslog member leavers
    """
    from obslog.club.privacy.leavers import list_leavers

    return list_leavers(database, now)


def _check(out: Path, overwrite: bool) -> None:
    from obslog.cli.pages.written_out import ENDING, check_place

    if out.suffix.casefold() not in (ENDING, ".json"):
        raise NeitherPageNorJson(out)
    if out.suffix.casefold() == ".json" and out.exists() and not overwrite:
        raise ToldFileThere(out)
    check_place(out, overwrite=overwrite)


def _write(told: "KeptAbout", out: Path, state: State) -> None:
    from obslog.cli.pages.written_out import ENDING, write_page, write_private
    from obslog.report.pages.told_page import told_page

    if out.suffix.casefold() == ENDING:
        write_page(told_page(told), out, state, private=True)
    else:
        write_private(told, out)
    state.screen.note(f"Written: {out}")
