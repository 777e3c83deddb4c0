"""The quick verbs of the dark: sync, check, goto, saw, edit, undo and redo, each one short line."""

from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Annotated, Any

import typer

from obslog.cli.night.choices import WhichSetup
from obslog.cli.night.entry_options import (
    ArrivalOptions,
    MountSeenWith,
    ObjectWords,
    ObservationOptions,
    Observers,
    SightingOptions,
)
from obslog.cli.terminal.caution import show_caution
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import (
    At,
    MountOption,
    NewTime,
)
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.errors import WrongInput
from obslog.vocabulary.arrivals import Role

if TYPE_CHECKING:
    from collections.abc import Sequence

    from obslog.club.night.arrival_corrections import RemovedArrival
    from obslog.club.night.arrivals import RecordedArrival
    from obslog.club.night.observations import ObservationEntry, RecordedObservations
    from obslog.grammar.observation_words import ObservationSaid
    from obslog.records.database import Database

Words = Annotated[
    list[str],
    typer.Argument(
        metavar="NAME [WHERE]",
        help="The star or object; then where it stood from the centre: 3E 2N (arcminutes), 30arcsec E, 3d E "
        "(degrees), 0.4f W (of the field), 4s E @16x (centring time and rate), or centred, in, edge, finder, lost; "
        "and in any order pier east, eyepiece NAME, field 42, by NAME, centring 0.3.",
        show_default=False,
    ),
]
AsWritten = Annotated[
    bool, typer.Option("--as-written", help="Keep the name of an object that is not known here, as it is.")
]
UndoneAct = Annotated[
    str | None,
    typer.Argument(metavar="REFERENCE", help="The act, as history calls it.", show_default="the last"),
]
SureOption = Annotated[bool, typer.Option("--sure", help="Accept it despite the warning.")]


def add_to(app: typer.Typer) -> None:
    """Put the quick verbs among the commands."""
    for role, text in (
        (
            Role.SYNC,
            "Record a sync star, and where it landed.\n\nGive where it stood before you centred it.\n\n"
            "obslog sync Vega 3E 2N",
        ),
        (
            Role.CHECK,
            "Record a check star: measured, not synced on.\n\nobslog check alf Lyr 0.4f W",
        ),
        (Role.GOTO, "Record an ordinary go-to.\n\nobslog goto M 31 edge"),
    ):
        command(app, role.value, show=show_arrival, help=text)(_arrival_command(role))
    command(app, "saw", show=show_observations)(saw)
    command(app, "edit", show=show_edited)(edit)
    command(app, "undo", show=show_undone)(undo)
    command(app, "redo", show=show_redone)(redo)


def show_arrival(screen: Screen, recorded: "RecordedArrival", *, night: bool = False) -> None:
    """The solar caution, the arrival as it went on record, its night where asked, and what else should be said."""
    show_caution(screen, recorded.caution)
    a = recorded.arrival
    where = a.offset or a.landing or ""
    which = f"({recorded.mount}, night of {recorded.night})" if night else f"({recorded.mount})"
    parts = (f"{a.number}.", a.at, a.role, a.target, where, which)
    screen.line("  ".join(part for part in parts if part))
    for remark in recorded.remarks:
        screen.note(remark)


def show_edited(screen: Screen, found: "RecordedArrival | RemovedArrival") -> None:
    from obslog.club.night.arrivals import RecordedArrival

    if isinstance(found, RecordedArrival):
        show_arrival(screen, found, night=True)
        return
    line = found.removed
    which = f"({found.mount}, night of {found.night})"
    screen.line(f"Removed: {line.number}.  {line.at}  {line.role}  {line.target}  {which}")


def show_observations(screen: Screen, recorded: "RecordedObservations") -> None:
    """The solar caution, the entries as they went on record, and what else should be said about them."""
    show_caution(screen, recorded.caution)
    for line in recorded.entries:
        parts = [f"{line.number}.", line.at, f"{line.sighting} {line.target}", line.observer, line.vision]
        parts += [f"{line.magnification:g}x"] if line.magnification else []
        parts += [f"{line.alt_deg:.0f}° high"] if line.alt_deg is not None else []
        screen.line("  ".join(str(part) for part in parts if part))
    for remark in recorded.remarks:
        screen.note(remark)


def show_undone(screen: Screen, undone: dict[str, str]) -> None:
    screen.line(f"Undone: {undone['undone']}")


def show_redone(screen: Screen, redone: dict[str, str]) -> None:
    screen.line(f"Done again: {redone['redone']}")


def _arrival_command(role: Role) -> Any:
    def record(
        database: "Database",
        now: datetime,
        words: Words,
        at: At = None,
        mount: MountOption = None,
        *,
        told: ArrivalOptions,
        as_written: AsWritten = False,
        sure: SureOption = False,
    ) -> "RecordedArrival":
        from obslog.club.night.arrival_entries import entry_of
        from obslog.club.night.arrivals import record_arrival
        from obslog.club.night.open_night import SetupChoice
        from obslog.club.register.names_on_record import names_on_record
        from obslog.grammar.arrival_words import read_arrival
        from obslog.grammar.shell_words import cut_words

        named, note = cut_words(words)
        as_written = as_written or told.ra is not None
        said = read_arrival(named, note=note, as_written=as_written, names=names_on_record(database))
        entry = entry_of(said, told.entry(None, None, at))
        recorded = record_arrival(database, role, entry, SetupChoice(mount=mount), now, sure=sure)
        return _with_first_star(database, recorded, mount)

    return record


def _with_first_star(
    database: "Database", recorded: "RecordedArrival", mount: str | None
) -> "RecordedArrival":
    """The arrival, and where it is the first of its set-up and far off, the mistake that this tells of."""
    from obslog.club.night.plausibility import WORTH_A_LOOK_ARCMIN

    arrival = recorded.arrival
    away = max(abs(arrival.offset_east_arcmin or 0.0), abs(arrival.offset_north_arcmin or 0.0))
    if arrival.number > 1 or away < WORTH_A_LOOK_ARCMIN:
        return recorded
    from obslog.club.live.first_star import first_star_remark
    from obslog.club.night.open_night import SetupChoice

    remark = first_star_remark(database, SetupChoice(mount=mount))
    return replace(recorded, remarks=[*recorded.remarks, remark]) if remark else recorded


def edit(
    database: "Database",
    now: datetime,
    number: Annotated[
        int | None, typer.Argument(help="As in setup show.", show_default="the last typed in")
    ] = None,
    target: Annotated[str | None, typer.Option("--target", help="The star or object.")] = None,
    where: Annotated[str | None, typer.Option("--where", help="Where it stood: 3E 2N, or edge...")] = None,
    role: Annotated[Role | None, typer.Option("--role", help="sync, check or goto.")] = None,
    at: NewTime = None,
    mount: MountOption = None,
    *,
    which: WhichSetup,
    told: ArrivalOptions,
    remove: Annotated[bool, typer.Option("--remove", help="Take it off the record.")] = False,
    as_written: AsWritten = False,
    sure: SureOption = False,
) -> "RecordedArrival | RemovedArrival":
    """Correct a mistyped arrival, or remove it.

    It is one of the open set-up, or of the one that is named.

    obslog edit 3 --where "3W 2N"
    """
    from obslog.club.night.arrival_corrections import edit_arrival, remove_arrival
    from obslog.club.night.arrival_entries import ArrivalEntry
    from obslog.grammar.target_names import known_target
    from obslog.offsets import read_offset_or_landing

    place = read_offset_or_landing(where) if where is not None else None
    if target is not None and target.strip():
        target = known_target(target, as_written=as_written or told.ra is not None).name
    entry = told.entry(target, place, at, role)
    choice = which.choice(mount)
    if not remove:
        return edit_arrival(database, number, entry, choice, now, sure=sure)
    if entry != ArrivalEntry():
        raise WrongInput("An arrival is changed or removed, not both.", "Give --remove alone.")
    return remove_arrival(database, number, choice, now)


def saw(
    database: "Database",
    now: datetime,
    state: State,
    words: ObjectWords,
    *,
    sightings: SightingOptions,
    told: ObservationOptions,
    observers: Observers = None,
    mount: MountSeenWith = None,
    at: At = None,
    as_written: AsWritten = False,
    sure: SureOption = False,
) -> "RecordedObservations":
    """Record an observation in the current night.

    obslog saw M 81 averted 40x rating 4 "oval glow, brighter middle"
    """
    from obslog.club.night.observations import record_observations

    said, by = observation_said(database, words, sightings, observers, as_written=as_written)
    return record_observations(
        database, said.target.name, entry_told(said, told, at), now,
        observers=by, mount=mount, sure=sure, me=state.me,
    )  # fmt: skip


def observation_said(
    database: "Database",
    words: list[str],
    sightings: SightingOptions,
    observers: list[str] | None,
    *,
    as_written: bool,
) -> "tuple[ObservationSaid, Sequence[str | None]]":
    """What the words and options of an observation say of the object, and who saw it."""
    from obslog.club.register.names_on_record import names_on_record
    from obslog.grammar.observation_words import read_observation
    from obslog.grammar.shell_words import cut_words
    from obslog.grammar.told_words import once

    named, text = cut_words(words)
    said = read_observation(
        named,
        sighting=sightings.sighting(),
        text=text,
        as_written=as_written,
        names=names_on_record(database),
    )
    return said, once("observer", [said.observer] if said.observer else None, observers or None) or (None,)


def entry_told(said: "ObservationSaid", told: ObservationOptions, at: str | None) -> "ObservationEntry":
    """The entry, from words and options together."""
    from obslog.club.night.observations import entry_of

    return entry_of(said, told.entry(None, at))


def undo(database: "Database", now: datetime, reference: UndoneAct = None) -> dict[str, str]:
    """Undo the last change, or the act of a reference.

    Repeat it to go further back. An act in the middle is undone where nothing later depends on it; what that is, is
    said. References are shown by: history. Removing a member cannot be undone, all else can.

    obslog undo
    """
    from obslog.club.register.undo import undo as undo_act

    return {"undone": undo_act(database, now, reference)}


def redo(database: "Database", now: datetime) -> dict[str, str]:
    """Do again what was undone last.

    Repeat to go further. It works until something new is recorded.
    """
    from obslog.club.register.undo import redo as redo_act

    return {"redone": redo_act(database, now)}
