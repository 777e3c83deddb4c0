"""Whose the landing errors are: shared out among mounts, observers, sites and nights."""

from math import isnan
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.performance.documents import sources_document
from obslog.cli.terminal.command import command
from obslog.cli.terminal.interval_bars import Bars, explain_bars
from obslog.cli.terminal.screen import Screen
from obslog.english import counted
from obslog.estimate_words import NOT_DETERMINED, chance_cell, percent_words, ratio_cell

if TYPE_CHECKING:
    from obslog.club.performance.error_sources import ErrorSources
    from obslog.records.database import Database
    from obslog.report.pictures.picture import Picture
    from obslog.values import Estimate

MostSources = Annotated[
    int, typer.Option("--most", min=1, help="How many mounts, observers and sites to list.")
]


def add_to(app: typer.Typer) -> None:
    """Put the command among those of pointing."""
    command(app, "whose", show=show_sources, document=sources_document, picture=_sources_picture)(whose)


def whose(database: "Database", most: MostSources = 12) -> "ErrorSources":
    """Share the landing errors out by their sources.

    The mount's, the observer's, the site's, or the night's.

    obslog pointing whose
    """
    from obslog.club.performance.error_sources import whose_error

    return whose_error(database)


def show_sources(screen: Screen, found: "ErrorSources", most: int) -> None:
    from obslog.club.performance.first_sentences import sources_sentence

    screen.line(sources_sentence(found.shares, tubes_apart=found.tubes_apart), style="bold")
    screen.line(f"Landing errors of {counted(found.setups, 'set-up')}")
    screen.table(["source", "share"], [[source, _share(part)] for source, part in found.shares.items()])
    screen.line()
    shown = found.effects[:most]
    bars = Bars.over([value for e in shown for value in (e.ratio.low, e.ratio.value, e.ratio.high)])
    screen.table(
        ["whose", "ratio", "from", "to", "worse", "set-ups", bars.scale("x")],
        [
            [
                f"{e.factor} {e.name}",
                *(ratio_cell(value) for value in (e.ratio.value, e.ratio.low, e.ratio.high)),
                chance_cell(e.worse),
                e.ratio.count,
                bars.bar(e.ratio.low, e.ratio.value, e.ratio.high),
            ]
            for e in shown
        ],
    )
    for words in found.cannot_tell:
        screen.line(words)
    screen.note(
        "Share: of how much the logarithms of landing errors differ from set-up to set-up, ± its standard deviation; "
        "rest: what differs from night to night. "
        "Ratio: landing error beside the club's average, all else being equal, 95 % interval from and to; worse: the "
        "probability that it is above the average."
    )
    explain_bars(screen, bars)


def _sources_picture(found: "ErrorSources", most: int) -> "Picture":
    from obslog.report.pictures.error_shares import sources_picture

    return sources_picture(found, most)


def _share(share: "Estimate") -> str:
    """A share with its uncertainty; one that the data cannot see is zero and has none."""
    if not share.determined or isnan(share.sd):
        return NOT_DETERMINED
    return f"{percent_words(share.value)} ± {percent_words(share.sd)}"
