"""What each cause adds to a mount's landing errors, for people and for scripts."""

from typing import TYPE_CHECKING

import typer

from obslog.cli.performance.documents import Document
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import Mount, TubeUsed
from obslog.cli.terminal.screen import Screen
from obslog.english import counted
from obslog.estimate_words import interval_document, percent_words

if TYPE_CHECKING:
    from obslog.club.landing.error_budget import CauseLine, MountBudget
    from obslog.records.database import Database
    from obslog.report.pictures.picture import Picture


def add_to(app: typer.Typer) -> None:
    """Put the command among those of pointing."""
    command(app, "budget", show=show_budget, document=budget_document, picture=_budget_picture)(budget)


def budget(database: "Database", mount: Mount, tube: TubeUsed = None) -> "MountBudget":
    """Say what each cause adds to the landing errors.

    The axis as people set it, cone error, squareness, sag, slack, centring, scatter, wrong arrivals: what each adds at
    the places really visited, and within what radius half of the go-tos would land without it.

    obslog pointing budget Heron
    """
    from obslog.club.landing.error_budget import error_budget

    return error_budget(database, mount, tube)


def show_budget(screen: Screen, found: "MountBudget") -> None:
    from obslog.club.landing.error_budget import worth_mending

    first, *others = found.words
    screen.line(first, style="bold")
    for words in others:
        screen.line(words)
    screen.line()
    screen.table(
        ["cause", "adds", "from", "to", "share", "half without", "from", "to"],
        [_cells(one) for one in found.causes],
    )
    for one in worth_mending(found):
        screen.line(f"{one.cause}: {one.remedy}")
    screen.note(
        f"In arcminutes, 95 % intervals from and to; of {counted(found.go_tos, 'go-to')} after a sync in "
        f"{counted(found.setups, 'set-up')} since {found.since}, with {found.tube or 'no tube named'}. Adds: the "
        f"squares add up to that of the root mean square, {found.rms_arcmin:.1f}'; share: of that square. "
        "Half without: half would land within it if the cause were gone."
    )


def _budget_picture(found: "MountBudget") -> "Picture":
    from obslog.report.pictures.budget_bars import budget_picture

    return budget_picture(found)


def budget_document(found: "MountBudget") -> Document:
    """What `pointing budget` gives."""
    return {
        "mount": found.mount,
        "tube": found.tube,
        "since": found.since,
        "setups": found.setups,
        "go_tos": found.go_tos,
        "half_land_within_arcmin": interval_document(found.half_arcmin),
        "rms_arcmin": found.rms_arcmin,
        "causes": [cause_document(one) for one in found.causes],
        "words": found.words,
    }


def cause_document(one: "CauseLine") -> Document:
    """What a cause adds, and what is gained without it."""
    return (
        {"cause": one.cause}
        | interval_document(one.adds_arcmin, "adds_arcmin")
        | {"share": one.share}
        | interval_document(
            one.half_without_arcmin, "half_without_arcmin", "half_without_low", "half_without_high"
        )
        | {"remedy": one.remedy}
    )


def _cells(one: "CauseLine") -> list[str]:
    intervals = (one.adds_arcmin, one.half_without_arcmin)
    adds, without = (
        ["" if value is None else f"{value:z.1f}" for value in (i.value, i.low, i.high)] for i in intervals
    )
    return [one.cause, *adds, percent_words(one.share), *without]
