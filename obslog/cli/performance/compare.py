"""Mounts side by side, and one mount on two sides: before and after, with a tube, by a person, by years."""

from datetime import date, datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.performance.documents import Document, trend_document
from obslog.cli.performance.trend import show_compared
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import day
from obslog.cli.terminal.screen import Screen
from obslog.estimate_words import ends_words, interval_document

if TYPE_CHECKING:
    from obslog.club.landing.before_and_after import TwoSidesOfAMount
    from obslog.club.landing.beside_the_first import MountBeside
    from obslog.records.database import Database
    from obslog.report.pictures.picture import Picture
    from obslog.values import Interval

Mounts = Annotated[
    list[str] | None,
    typer.Argument(metavar="MOUNT", help="The mounts; all that have arrivals, where none is named."),
]
Service = Annotated[bool, typer.Option("--service", help="Before and since its last mechanical service.")]
OfTube = Annotated[str | None, typer.Option("--tube", "-t", help="With this tube, and otherwise.")]
OfObserver = Annotated[str | None, typer.Option("--observer", help="By this person, and by others.")]
Year = Annotated[int | None, typer.Option("--year", min=1900, max=2200, help="In this year, and in others.")]


def add_to(app: typer.Typer) -> None:
    """Put the command among those of pointing."""
    command(app, "compare", show=show_comparison, document=comparison_document, picture=_comparison_picture)(
        compare
    )


def compare(
    database: "Database",
    now: datetime,
    mounts: Mounts = None,
    before: Annotated[date | None, day("--before", help="Before this day, and since.")] = None,
    service: Service = False,
    tube: OfTube = None,
    observer: OfObserver = None,
    year: Year = None,
) -> "list[MountBeside] | TwoSidesOfAMount":
    """Show mounts side by side, or one before and after.

    Several mounts: their verdicts allow for looking at all of them together, and each is set beside the first. One
    mount with an option: by what factor its landing error differs, what differs, and how many nights would settle it.

    obslog pointing compare Heron Bittern

    obslog pointing compare Heron --service
    """
    from obslog.club.landing.before_and_after import OneSplit, Split, compare_sides
    from obslog.club.landing.beside_the_first import compare_beside
    from obslog.club.register.club_day import club_day

    split = Split(before=before, service=service, tube=tube, observer=observer, year=year)
    if not split.count:
        return compare_beside(database, mounts or [])
    if len(mounts or []) != 1:
        raise OneSplit
    return compare_sides(database, (mounts or [""])[0], split, club_day(database, now))


def show_comparison(screen: Screen, found: "list[MountBeside] | TwoSidesOfAMount") -> None:
    if isinstance(found, list):
        screen.line(_sentence(found), style="bold")
        show_compared(screen, [one.history for one in found])
        for one in found:
            if one.ratio is not None and not one.ratio.is_open:
                first = found[0].history.mount
                screen.line(f"{one.history.mount} lands {_times(one.ratio)} as far off as {first}")
        return
    first, *others = found.words
    screen.line(first, style="bold")
    for words in others:
        screen.line(words)
    screen.line()
    names = [side.name for side in found.sides]
    if found.differs:
        screen.table(
            ["cause", *names],
            [[one.cause, f"{one.first_arcmin:z.1f}", f"{one.second_arcmin:z.1f}"] for one in found.differs],
        )
        screen.note("What each cause adds, in arcminutes; see obslog pointing budget.")


def _sentence(found: "list[MountBeside]") -> str:
    from obslog.club.performance.first_sentences import ComparedMount, beside_sentence

    if len(found) == 1:
        return found[0].history.words
    return beside_sentence(
        [
            ComparedMount(mount=one.history.mount, verdict=one.history.verdict, ratio=one.ratio)
            for one in found
        ]
    )


def _times(ratio: "Interval") -> str:
    return f"{ratio.value:.2f} times ({ends_words(ratio)})"


def _comparison_picture(found: "list[MountBeside] | TwoSidesOfAMount") -> "Picture":
    from obslog.report.pictures.compared import beside_picture, sides_picture

    return beside_picture(found) if isinstance(found, list) else sides_picture(found)


def comparison_document(found: "list[MountBeside] | TwoSidesOfAMount") -> "list[Document] | Document":
    """What `pointing compare` gives: the trend of each mount with its ratio to the first, or one mount's two sides."""
    if isinstance(found, list):
        return [
            trend_document(one.history) | {"ratio": interval_document(one.ratio) if one.ratio else None}
            for one in found
        ]
    return {
        "mount": found.mount,
        "sides": [
            {"side": side.name, "setups": side.half_arcmin.count}
            | interval_document(side.half_arcmin, "half_land_within_arcmin", "low_arcmin", "high_arcmin")
            for side in found.sides
        ],
        "ratio": interval_document(found.ratio),
        "ratio_as_seen": found.as_seen,
        "decided": found.decided,
        "more_nights": found.more_nights,
        "differs": found.differs,
        "words": found.words,
    }
