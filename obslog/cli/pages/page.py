"""Pages for a browser, one file each: of a mount, a night, a stocktake; those of the club stand in `overviews.py`."""

from datetime import date
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.pages import overviews
from obslog.cli.pages.written_out import PageFile, show_nothing
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import Mount, Officer, SiteOption, StocktakeDay
from obslog.cli.terminal.state import State
from obslog.grammar.typed_times import read_day

if TYPE_CHECKING:
    from obslog.club.pages.mount_facts import MountFacts
    from obslog.club.pages.night_facts import NightFacts
    from obslog.club.shelves.committee import StocktakeFacts

HELP = "Pages for a browser, each in one file that fetches nothing."
app = typer.Typer(help=HELP, no_args_is_help=True)

TheNight = Annotated[
    date,
    typer.Argument(
        help="The night, by its evening: 2026-03-02, yesterday.",
        parser=read_day,
        metavar="DATE",
        show_default=False,
    ),
]


def _mount_document(facts: "MountFacts") -> object:
    from obslog.cli.pages.documents import mount_document

    return mount_document(facts)


def _night_document(facts: "NightFacts") -> object:
    from obslog.cli.pages.documents import night_document

    return night_document(facts)


@command(app, "mount", show=show_nothing, document=_mount_document)
def mount(state: State, name: Mount, to: PageFile) -> "MountFacts":
    """Write the page of a mount.

    How it points over the months and why, what to do about it, and the numbers behind each picture.

    obslog page mount Heron --out heron.html
    """
    from obslog.club.pages.mount_facts import mount_facts
    from obslog.report.pages.mount_page import mount_page

    to.check()
    with state.database() as database:
        facts = mount_facts(database, name, state.now())
    to.write(mount_page(facts), state)
    return facts


@command(app, "night", show=show_nothing, document=_night_document)
def night(state: State, on: TheNight, to: PageFile, site: SiteOption = None) -> "NightFacts":
    """Write the page of a night.

    Who was there, the sky, each set-up and where its go-tos went, what was seen, and what went wrong.

    obslog page night 2026-03-02 --out night.html
    """
    from obslog.club.pages.night_facts import night_facts
    from obslog.report.pages.night_page import night_page

    to.check()
    with state.database() as database:
        facts = night_facts(database, on, site, state.now())
    to.write(night_page(facts), state)
    return facts


def _stocktake_document(facts: "StocktakeFacts") -> object:
    from obslog.cli.pages.documents import stocktake_document

    return stocktake_document(facts)


@command(app, "stocktake", show=show_nothing, document=_stocktake_document)
def stocktake(
    state: State, to: PageFile, on: StocktakeDay = None, officer: Officer = False
) -> "StocktakeFacts":
    """Write the page of a stocktake, for the committee.

    What was not found and is worth, what came back since the one before, what lies elsewhere, place by place, and
    whether losses grow. Who had what is missing last is named with --officer.

    obslog page stocktake 2026-11-20 --out stocktake.html
    """
    from obslog.club.register.club_day import club_day
    from obslog.club.shelves.committee import stocktake_facts
    from obslog.report.pages.stocktake_page import stocktake_page

    to.check()
    with state.database() as database:
        facts = stocktake_facts(database, club_day(database, state.now()), on, with_names=officer)
    to.write(stocktake_page(facts), state, private=officer)
    return facts


overviews.add_to(app)
