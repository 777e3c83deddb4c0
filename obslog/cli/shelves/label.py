"""Labels for the shelves' things, on sheets of labels."""

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import KindOption
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.english import counted
from obslog.errors import WrongInput
from obslog.report.forms.label_sheets import LabelSize


class WhichItems(WrongInput):
    def __init__(self) -> None:
        super().__init__(
            "Labels of which items?", "Name them, or give --place PLACE or --all, but one of these alone."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenLabels:
    """The file that was written, what stands in it, and which items have no tag."""

    file: str
    labels: int
    pages: int | None
    signs_replaced: int
    without_tag: list[str]


def show_labels(screen: Screen, written: WrittenLabels) -> None:
    pages = f" on {counted(written.pages, 'page')}" if written.pages is not None else ""
    screen.line(f"Written: {written.file}, {counted(written.labels, 'label')}{pages}")
    screen.note("Print it at its own size, not fitted to the page.")
    if written.without_tag:
        screen.note(
            f"Without a tag, and left out: {', '.join(written.without_tag)}. Give one: obslog store note NAME --tag TAG"
        )
    if written.signs_replaced:
        are = counted(written.signs_replaced, "character is", "characters are")
        screen.note(f"{are} not in the font, with ? in place of each.")


def add_to(app: typer.Typer) -> None:
    """Put the command among the program's own."""
    command(app, "label", show=show_labels)(label)


def label(
    state: State,
    out: Annotated[Path, typer.Option("--out", help="The file to write, FILE.pdf.", show_default=False)],
    names: Annotated[
        list[str] | None, typer.Argument(help="The items.", metavar="ITEM", show_default=False)
    ] = None,
    place: Annotated[
        str | None, typer.Option("--place", help="All that is kept there.", show_default=False)
    ] = None,
    every: Annotated[bool, typer.Option("--all", help="All items in use.")] = False,
    size: Annotated[
        LabelSize, typer.Option("--size", help="Width by height of a label, mm; 67x25 is on Letter.")
    ] = LabelSize.W64_H38,
    first: Annotated[
        int, typer.Option("--from", help="The first label to use, of a sheet that was begun.")
    ] = 1,
    kind: KindOption = None,
    overwrite: Annotated[
        bool, typer.Option("--overwrite", help="Write over a file that is not a sheet of obslog.")
    ] = False,
) -> WrittenLabels:
    """Make labels with a tag, a name and a code to scan.

    The code says the tag, as stocktake saw takes it.

    obslog label --all --out labels.pdf --size 38x21 --from 5
    """
    from obslog.club.register.club_day import club_day
    from obslog.club.shelves.labels import labels_of_named, labels_of_place
    from obslog.report.forms.label_sheets import SHEETS
    from obslog.report.forms.labels import check_labels, put_labels

    if [bool(names), place is not None, every].count(True) != 1:
        raise WhichItems
    check_labels(out, SHEETS[size], first, overwrite=overwrite)
    with state.database() as database:
        found = labels_of_named(database, names, kind) if names else labels_of_place(database, place)
        today = club_day(database, state.now())
    printed = put_labels(found.labels, SHEETS[size], out, today, first)
    return WrittenLabels(
        file=f"{out}",
        labels=len(found.labels),
        pages=printed.pages,
        signs_replaced=printed.signs_replaced,
        without_tag=found.without_tag,
    )
