"""The observing record: its entries and their corrections, and words found again in all that was written."""

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.night.choices import WhichNight, WhichSetup
from obslog.cli.night.entry_options import (
    MountSeenWith,
    ObjectWords,
    ObservationOptions,
    Observers,
    SightingOptions,
)
from obslog.cli.night.quick_verbs import (
    AsWritten,
    SureOption,
    entry_told,
    observation_said,
    show_observations,
)
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import At, NewTime
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.errors import WrongInput, quoted
from obslog.vocabulary.observations import Sighting

if TYPE_CHECKING:
    from obslog.club.finding import FoundText
    from obslog.club.night.observation_corrections import ObservationPage, RemovedObservation
    from obslog.club.night.observation_lines import ObservationLine
    from obslog.club.night.observations import RecordedObservations
    from obslog.records.database import Database

app = typer.Typer(help="The observing record: what was seen, entry by entry.", no_args_is_help=True)
Number = Annotated[int, typer.Argument(help="As in observation list.", show_default=False)]


def add_to(app: typer.Typer) -> None:
    """Put the command among the program's own."""
    command(app, "find", show=show_found)(find)


def show_list(screen: Screen, lines: "Sequence[ObservationLine]") -> None:
    if not lines:
        screen.note("Nothing is on record for that night. To add something: obslog saw OBJECT")
        return
    columns = ["", "at", "object", "", "observer", "magnif.", "alt °", "rating", "description"]
    screen.table(columns, [_cells(line) for line in lines])


def show_entry(screen: Screen, page: "ObservationPage") -> None:
    o = page.entry
    screen.line(f"{o.target}, {o.at} on the night of {o.night} at {o.site}", style="bold")
    screen.fields(
        [
            ("sighting", o.sighting),
            ("vision", o.vision),
            ("observer", o.observer),
            ("found by", o.found_by),
            ("eyepiece", o.eyepiece),
            ("magnification", _times(o.magnification)),
            ("filter", o.filter),
            ("altitude", None if o.alt_deg is None else f"{o.alt_deg:.1f}°"),
            ("rating", o.rating),
            ("sketch", o.sketch),
            ("description", o.description),
        ]
    )
    for change in page.corrections:
        taken_back = " (taken back)" if change.undone else ""
        before = "nothing" if change.before is None else repr(change.before)
        screen.line(f"{change.at_utc:%Y-%m-%d %H:%M}Z{taken_back}: {change.what} was {before}", hang=2)


def show_found(screen: Screen, found: "Sequence[FoundText]", words: list[str]) -> None:
    if not found:
        said = " ".join(words)
        screen.note(
            f"{said!r} is in no note of a night, set-up or arrival, and in no observation, snag or service."
        )
        screen.note(f"Is it an item or a kit? Then: obslog store show {quoted(said)}")
        return
    screen.table(
        ["day", "record", "about", "who", "site", "text"],
        [[f.day, f.kind, f.about, f.who, f.site, f.text] for f in found],
    )


def _cells(line: "ObservationLine") -> list[object]:
    return [
        line.number,
        line.at,
        line.target,
        line.sighting,
        line.observer,
        _times(line.magnification),
        line.alt_deg,
        line.rating,
        line.description,
    ]


def _times(magnification: float | None) -> str | None:
    return None if magnification is None else f"{magnification:g}x"


def show_edited(screen: Screen, found: "RecordedObservations | RemovedObservation") -> None:
    from obslog.club.night.observations import RecordedObservations

    if isinstance(found, RecordedObservations):
        show_observations(screen, found)
        return
    line = found.removed
    parts = (f"{line.number}.", line.at, f"{line.sighting} {line.target}", line.observer)
    which = f"(night of {line.night} at {line.site})"
    screen.line("  ".join(["Removed:", *(part for part in parts if part), which]))


@command(app, "add", show=show_observations)
def add(
    database: "Database",
    now: datetime,
    state: State,
    words: ObjectWords,
    *,
    sightings: SightingOptions,
    told: ObservationOptions,
    observers: Observers = None,
    mount: MountSeenWith = None,
    which: WhichSetup,
    at: At = None,
    as_written: AsWritten = False,
    sure: SureOption = False,
) -> "RecordedObservations":
    """Add an entry to a night that is past.

    It goes into the open night, or the newest, unless one is named. With --mount it belongs to that night's set-up, and
    takes its observer and eyepiece.

    obslog observation add M 81 --night 2026-03-02 --at 23:10 --mount Heron
    """
    from obslog.club.night.observations import record_observations
    from obslog.club.night.open_night import NightChoice

    said, by = observation_said(database, words, sightings, observers, as_written=as_written)
    return record_observations(
        database, said.target.name, entry_told(said, told, at), now, observers=by, mount=mount,
        choice=NightChoice(which.site, which.night), ordinal=which.setup, sure=sure, me=state.me,
    )  # fmt: skip


@command(app, "list", show=show_list)
def list_(database: "Database", which: WhichNight) -> "list[ObservationLine]":
    """List what was seen on a night: the open one, or the newest.

    obslog observation list --night 2026-03-02
    """
    from obslog.club.night.observation_lines import list_observations

    return list_observations(database, which.choice())


@command(app, "show", show=show_entry)
def show(database: "Database", number: Number, which: WhichNight) -> "ObservationPage":
    """Show an entry, and what it said before corrections.

    obslog observation show 2
    """
    from obslog.club.night.observation_corrections import show_observation

    return show_observation(database, number, which.choice())


@command(app, "edit", show=show_edited)
def edit(
    database: "Database",
    now: datetime,
    number: Number,
    target: Annotated[str | None, typer.Option("--target", help="The object.")] = None,
    sighting: Annotated[Sighting | None, typer.Option("--sighting", help="How sure.")] = None,
    *,
    told: ObservationOptions,
    observer: Annotated[str | None, typer.Option("--observer", "-o", help="Who.")] = None,
    at: NewTime = None,
    which: WhichNight,
    as_written: AsWritten = False,
    remove: Annotated[bool, typer.Option("--remove", help="Take it off the record.")] = False,
    sure: SureOption = False,
) -> "RecordedObservations | RemovedObservation":
    """Correct an entry, or remove it.

    What it said before is kept and shown.

    obslog observation edit 2 --note "round, not oval" --rating 3
    """
    from obslog.club.night.observation_corrections import edit_observation, remove_observation
    from obslog.club.night.observations import ObservationEntry
    from obslog.grammar.target_names import known_target

    entry = told.entry(sighting, at)
    if remove:
        if entry != ObservationEntry() or target is not None or observer is not None:
            raise WrongInput("An entry is changed or removed, not both.", "Give --remove alone.")
        return remove_observation(database, number, now, choice=which.choice())
    if target is not None and target.strip():
        target = known_target(target, as_written=as_written).name
    return edit_observation(
        database, number, entry, now, choice=which.choice(), target=target, observer=observer, sure=sure
    )  # fmt: skip


def find(
    database: "Database",
    words: Annotated[
        list[str], typer.Argument(metavar="TEXT", help="Words, in any order.", show_default=False)
    ],
    most: Annotated[int, typer.Option("--most", min=1, help="At most this many of each kind.")] = 50,
) -> "list[FoundText]":
    """Find words in all that was written.

    Among observations, nights, set-ups, arrivals, snags and services.

    obslog find dust lane
    """
    from obslog.club.finding import find_text

    return find_text(database, " ".join(words), most=most)
