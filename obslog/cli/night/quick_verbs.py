"""The quick verbs of the dark: sync, check, goto, saw, edit and undo, each one short line."""

from datetime import datetime
from typing import TYPE_CHECKING, Annotated, Any

import typer

from obslog import fields
from obslog.cli.terminal.caution import show_caution
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import (
    At,
    MountOption,
    NewTime,
    NightOption,
    Note,
    SetupOption,
    SiteOption,
)
from obslog.cli.terminal.screen import Screen
from obslog.errors import WrongInput
from obslog.vocabulary import FindingMethod, PierSide, Role, Sighting, Vision

if TYPE_CHECKING:
    from obslog.club.night.arrival_corrections import RemovedArrival
    from obslog.club.night.arrivals import RecordedArrival
    from obslog.club.night.observations import RecordedObservations
    from obslog.records.opening import Database

Words = Annotated[
    list[str],
    typer.Argument(
        metavar="NAME [WHERE]",
        help="The star or object; then where it stood from the centre: 3E 2N (arcminutes), 0.4f W (of the field), "
        "4s E @16x (centring time and rate), or centred, in, edge, finder, lost.",
        show_default=False,
    ),
]
Pier = Annotated[PierSide | None, typer.Option("--pier", "-p", help="The side of the pier the TUBE is on.")]
EyepieceOption = Annotated[
    str | None, typer.Option("--eyepiece", "-e", help="The eyepiece, if not the set-up's.")
]
FieldOption = Annotated[
    float | None,
    typer.Option("--field", help=f"The diameter of the true field, {fields.FIELD_ARCMIN.range_words}."),
]
Centring = Annotated[
    float | None,
    typer.Option("--centring", help=f"How well it was centred, {fields.CENTRING_ARCMIN.range_words}."),
]
Ra = Annotated[
    float | None,
    typer.Option(
        "--ra", help=f"Right ascension J2000, {fields.RA_HOURS.range_words}, for an unlisted object."
    ),
]
Dec = Annotated[
    float | None,
    typer.Option("--dec", help=f"Declination J2000, {fields.DEC_DEG.range_words}, for an unlisted object."),
]
Observer = Annotated[str | None, typer.Option("--observer", "-o", help="Who, if not the set-up's observer.")]
Text = Annotated[str | None, typer.Option("--note", "-n", "--text", help="What it looked like.")]
FoundBy = Annotated[FindingMethod | None, typer.Option("--by", help="How it was found.")]
VisionOption = Annotated[
    bool | None, typer.Option("--averted/--direct", help="With averted vision only, or looked at straight.")
]
Magnification = Annotated[
    float | None,
    typer.Option(
        "--magnification",
        help=f"The magnification, {fields.MAGNIFICATION.range_words}.",
        show_default="of the tube and the eyepiece",
    ),
]
FilterOption = Annotated[str | None, typer.Option("--filter", help="The filter, in your words.")]
Rating = Annotated[int | None, typer.Option("--rating", help=f"{fields.RATING.range_words}.")]
Sketch = Annotated[str | None, typer.Option("--sketch", help="Where the drawing is: a file, a page.")]
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


def _arrival_command(role: Role) -> Any:
    def record(
        database: "Database",
        now: datetime,
        words: Words,
        at: At = None,
        mount: MountOption = None,
        pier: Pier = None,
        eyepiece: EyepieceOption = None,
        field: FieldOption = None,
        centring: Centring = None,
        ra: Ra = None,
        dec: Dec = None,
        observer: Observer = None,
        note: Note = None,
        sure: SureOption = False,
    ) -> "RecordedArrival":
        from obslog.club.night.arrivals import ArrivalEntry, record_arrival, split_words
        from obslog.club.night.open_night import SetupChoice

        target, where = split_words(words)
        entry = ArrivalEntry(
            target=target,
            where=where,
            at=at,
            pier_side=pier,
            eyepiece=eyepiece,
            field_arcmin=field,
            centring_arcmin=centring,
            ra_hours=ra,
            dec_deg=dec,
            observer=observer,
            note=note,
        )
        return record_arrival(database, role, entry, SetupChoice(mount=mount), now, sure=sure)

    return record


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
    site: SiteOption = None,
    night: NightOption = None,
    setup: SetupOption = None,
    pier: Pier = None,
    eyepiece: EyepieceOption = None,
    field: FieldOption = None,
    centring: Centring = None,
    ra: Ra = None,
    dec: Dec = None,
    observer: Observer = None,
    note: Note = None,
    remove: Annotated[bool, typer.Option("--remove", help="Take it off the record.")] = False,
    sure: SureOption = False,
) -> "RecordedArrival | RemovedArrival":
    """Correct a mistyped arrival, or remove it.

    It is one of the open set-up, or of the one that is named.

    obslog edit 3 --where "3W 2N"
    """
    from obslog.club.night.arrival_corrections import edit_arrival, remove_arrival
    from obslog.club.night.arrivals import ArrivalEntry
    from obslog.club.night.open_night import SetupChoice
    from obslog.offsets import read_offset_or_landing

    entry = ArrivalEntry(
        target=target,
        where=read_offset_or_landing(where) if where is not None else None,
        at=at,
        pier_side=pier,
        eyepiece=eyepiece,
        field_arcmin=field,
        centring_arcmin=centring,
        ra_hours=ra,
        dec_deg=dec,
        observer=observer,
        role=role,
        note=note,
    )
    choice = SetupChoice(mount, site, night, setup)
    if not remove:
        return edit_arrival(database, number, entry, choice, now, sure=sure)
    if entry != ArrivalEntry():
        raise WrongInput("An arrival is changed or removed, not both.", "Give --remove alone.")
    return remove_arrival(database, number, choice, now)


def saw(
    database: "Database",
    now: datetime,
    words: Annotated[list[str], typer.Argument(metavar="OBJECT", help="The object.", show_default=False)],
    suspected: Annotated[bool, typer.Option("--suspected", help="Not sure that it was seen.")] = False,
    missed: Annotated[
        bool, typer.Option("--not-seen", help="Looked for, not seen: that counts too.")
    ] = False,
    text: Text = None,
    found_by: FoundBy = None,
    vision: VisionOption = None,
    eyepiece: EyepieceOption = None,
    magnification: Magnification = None,
    filter_: FilterOption = None,
    rating: Rating = None,
    sketch: Sketch = None,
    observers: Annotated[
        list[str] | None,
        typer.Option(
            "--observer", "-o", help="Who; once for each, an entry each.", show_default="the set-up's"
        ),
    ] = None,
    mount: MountOption = None,
    at: At = None,
    sure: SureOption = False,
) -> "RecordedObservations":
    """Record an observation in the current night.

    obslog saw M 81 -n "oval glow, brighter middle" --averted --rating 4
    """
    from obslog.club.night.observations import ObservationEntry, record_observations

    entry = ObservationEntry(
        sighting=Sighting.NOT_SEEN if missed else Sighting.SUSPECTED if suspected else Sighting.SEEN,
        description=text,
        found_by=found_by,
        vision=vision_of(vision),
        eyepiece=eyepiece,
        magnification=magnification,
        filter=filter_,
        rating=rating,
        sketch=sketch,
        at=at,
    )
    return record_observations(
        database, " ".join(words), entry, now, observers=observers or (None,), mount=mount, sure=sure
    )


def vision_of(averted: bool | None) -> Vision | None:
    return None if averted is None else Vision.AVERTED if averted else Vision.DIRECT


def undo(database: "Database", now: datetime) -> dict[str, str]:
    """Undo the last change; repeat to go further back."""
    from obslog.club.register.undo import undo as undo_act

    return {"undone": undo_act(database, now)}
