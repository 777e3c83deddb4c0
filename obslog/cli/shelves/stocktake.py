"""Stocktakes: what should be where, ticked by tag or name, and what finishing changes."""

import sys
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.shelves.stocktake_show import (
    show_finish,
    show_losses,
    show_past,
    show_standing,
    show_started,
    show_ticked,
    ticked_words,
)
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import KindOption, StocktakeDay
from obslog.cli.terminal.questions import says_yes
from obslog.cli.terminal.screen import Screen, is_end
from obslog.cli.terminal.state import State
from obslog.english import counted
from obslog.errors import ObslogError, WrongInput

if TYPE_CHECKING:
    from obslog.club.shelves.count_records import PastCount, Standing
    from obslog.club.shelves.counting import Started
    from obslog.club.shelves.finishing import Finish
    from obslog.club.shelves.losses import Losses
    from obslog.club.shelves.seen import Seen
    from obslog.records.database import Database
    from obslog.report.pictures.picture import Picture

HELP = "Stocktakes: what should be where, and what was seen."
app = typer.Typer(help=HELP, no_args_is_help=True)


class SomeRefused(ObslogError):
    def __init__(self, number: int, each: str) -> None:
        was = "was" if number == 1 else "were"
        super().__init__(
            f"{counted(number, each)} {was} refused.",
            "What is wrong with each is said above; the others are kept.",
        )


class NotAgreed(ObslogError):
    def __init__(self) -> None:
        super().__init__(
            "Nothing was changed; the stocktake is still open.", "To finish it, answer yes, or give --sure."
        )


class WithoutOfWhich(WrongInput):
    def __init__(self) -> None:
        super().__init__(
            "--without is said of one kit, and it is not clear of which.",
            'Name that kit alone: obslog stocktake saw KIT --without "dew cap"',
        )


@dataclass(frozen=True, slots=True)
class TickedLines:
    """What came of each line, or each name; `told` where each was told as it came. How many were refused."""

    lines: "list[Seen]"
    told: bool
    refused: int


@command(app, "start", show=show_started)
def start(
    database: "Database",
    now: datetime,
    member: Annotated[str | None, typer.Option("--member", help="Who counts.", show_default="nobody")] = None,
) -> "Started":
    """Begin a stocktake.

    obslog stocktake start --member Ines
    """
    from obslog.club.shelves.counting import start

    return start(database, now, member)


def raise_refused(ticked: TickedLines) -> None:
    if ticked.refused:
        raise SomeRefused(ticked.refused, "line" if ticked.told else "name")


@command(app, "saw", show=show_ticked, document=lambda ticked: ticked.lines, then=raise_refused)
def saw(
    state: State,
    what: Annotated[
        list[str] | None,
        typer.Argument(
            help="Tags or whole names.",
            metavar="ITEM",
            show_default="read from standard input, one a line",
        ),
    ] = None,
    place: Annotated[
        str | None, typer.Option("--place", help="Where you are.", show_default="where each is kept")
    ] = None,
    note: Annotated[str | None, typer.Option("--note", "-n", help="Free text.")] = None,
    kind: KindOption = None,
    without: Annotated[
        list[str] | None,
        typer.Option(
            "--without",
            help="A part that is missing from the kit; again for more.",
            metavar="PART",
            show_default=False,
        ),
    ] = None,
) -> TickedLines:
    """Tick what you see, by its tag or whole name.

    Without a name lines are read until the end (Ctrl-D), as a scanner types them; each is kept at once. What is not
    on record is kept too. The name of a kit says that you looked through it: its parts that are only labels, such as
    a dust cap, are there, but for those named by --without. Corrected by: undo.

    obslog stocktake saw M-01 --place "shelf 2"

    obslog stocktake saw "Evening kit" --without "dew cap"
    """
    from obslog.club.shelves.counting import refuse_if_none_open, saw

    if without and len(what or ()) != 1:
        raise WithoutOfWhich
    with state.database() as database:
        refuse_if_none_open(database)

        def tick(text: str) -> "Seen":
            return saw(database, text, state.now(), place=place, note=note, kind=kind, without=without or ())

        if what is not None and len(what) == 1:
            return TickedLines([tick(what[0])], told=False, refused=0)
        return _tick_each(what or _typed_lines(), tick, state.screen, tell=not what)


def _tick_each(
    texts: Iterable[str], tick: "Callable[[str], Seen]", screen: Screen, *, tell: bool
) -> TickedLines:
    """Tick each as it comes, a refused one stops no other; `tell` at once what came of it, as they are typed."""
    lines, refused = [], 0
    for text in texts:
        try:
            seen = tick(text)
        except WrongInput as error:
            screen.note(f"{error.message} {error.hint}")
            refused += 1
            continue
        if tell:
            screen.note(ticked_words(seen))
        lines.append(seen)
    return TickedLines(lines, told=tell, refused=refused)


def _typed_lines() -> Iterator[str]:
    """The lines of standard input that are not blank, until it ends or a person has enough."""
    try:
        while (line := sys.stdin.readline()) and not is_end(line):
            if line.strip():
                yield line.strip()
    except KeyboardInterrupt:
        return


@command(app, "show", show=show_standing)
def show(database: "Database", on: StocktakeDay = None) -> "Standing":
    """Show how a stocktake stands, or what it found.

    Of a finished one: who counted, from when to when, what should have been where, what was found, and what finishing
    changed, all as it was on record then. Those on record are listed by stocktake past; page stocktake writes the
    page for the committee.

    obslog stocktake show

    obslog stocktake show 2026-11-20
    """
    from obslog.club.shelves.standing import standing

    return standing(database, on)


@command(app, "finish", show=show_finish)
def finish(
    state: State,
    sure: Annotated[bool, typer.Option("--sure", help="Do it without asking.")] = False,
) -> "Finish":
    """Finish the stocktake, after showing what that changes.

    What was not seen is missing from today, what was missing and was seen is found, and what was seen elsewhere is
    kept there from now on. One undo takes all of it back. Without --sure it asks; where nobody can be asked, it
    shows and changes nothing.

    obslog stocktake finish
    """
    from obslog.club.shelves.finishing import finish, what_would_change

    with state.database() as database:
        if sure:
            return finish(database, state.now())
        plan = what_would_change(database, state.now())
        if not sys.stdin.isatty():
            return plan
        show_finish(state.screen, plan)
        if not says_yes(state.screen, "Finish it so?"):
            raise NotAgreed
        return finish(database, state.now(), plan)


@command(app, "past", show=show_past)
def past(database: "Database") -> "list[PastCount]":
    """Show the stocktakes before, and how much each missed.

    obslog stocktake past
    """
    from obslog.club.shelves.standing import past_counts

    return past_counts(database)


def picture_of_losses(found: "Losses") -> "Picture":
    from obslog.report.overviews.losses_picture import losses_picture

    return losses_picture(found.counts, found.trend)


@command(app, "losses", show=show_losses, picture=picture_of_losses)
def losses(database: "Database") -> "Losses":
    """Show what each stocktake did not find, and the trend.

    By name, with what became of it since, and whether the last missed more than those before.

    obslog stocktake losses
    """
    from obslog.club.shelves.losses import losses

    return losses(database)
