"""The quick verbs of the dark: sync, check, goto, saw, edit and undo, each one short line."""

from typing import TYPE_CHECKING, Annotated, Any

import typer

from obslog.cli.terminal.fast_arguments import PlainTextCommand
from obslog.cli.terminal.options import (
    AsJson,
    At,
    MountOption,
    NewTime,
    NightOption,
    Note,
    SetupOption,
    SiteOption,
)
from obslog.cli.terminal.screen import plain
from obslog.cli.terminal.state import State, state_of
from obslog.errors import WrongInput
from obslog.times import read_date
from obslog.vocabulary import FindingMethod, PierSide, Role, Sighting, Vision

if TYPE_CHECKING:
    from obslog.club.night.arrivals import Recorded
    from obslog.club.night.observations import Noted

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
FieldOption = Annotated[float | None, typer.Option("--field", help="The true field's diameter, arcminutes.")]
Centring = Annotated[float | None, typer.Option("--centring", help="How well it was centred, arcminutes.")]
Ra = Annotated[
    float | None, typer.Option("--ra", help="Right ascension J2000, hours, for an unlisted object.")
]
Dec = Annotated[
    float | None, typer.Option("--dec", help="Declination J2000, degrees, for an unlisted object.")
]
Observer = Annotated[str | None, typer.Option("--observer", "-o", help="Who, if not the set-up's observer.")]
Text = Annotated[str | None, typer.Option("--text", "-n", help="What it looked like.")]
FoundBy = Annotated[FindingMethod | None, typer.Option("--by", help="How it was found.")]
VisionOption = Annotated[
    bool | None, typer.Option("--averted/--direct", help="With averted vision only, or looked at straight.")
]
Power = Annotated[
    float | None,
    typer.Option("--power", help="The magnification.", show_default="of the tube and the eyepiece"),
]
FilterOption = Annotated[str | None, typer.Option("--filter", help="The filter, in your words.")]
Rating = Annotated[int | None, typer.Option("--rating", help="1 to 5; 5 is the best.")]
Sketch = Annotated[str | None, typer.Option("--sketch", help="Where the drawing is: a file, a page.")]
SureOption = Annotated[bool, typer.Option("--sure", help="Take what was questioned as it is.")]


def add_to(app: typer.Typer) -> None:
    """Put the quick verbs among the commands."""
    for role, text in (
        (Role.SYNC, "A star centred and accepted; say where it stood before.\n\nobslog sync Vega 3E 2N"),
        (Role.CHECK, "A star gone to and measured, not accepted.\n\nobslog check 'alf Lyr' 0.4f W"),
        (Role.GOTO, "A target gone to in ordinary use.\n\nobslog goto M 31 edge"),
    ):
        app.command(role.value, help=text, cls=PlainTextCommand)(_arrival_command(role))
    app.command("saw", cls=PlainTextCommand)(saw)
    app.command("edit", cls=PlainTextCommand)(edit)
    app.command("undo", cls=PlainTextCommand)(undo)


def _arrival_command(role: Role) -> Any:
    def command(
        context: typer.Context,
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
        as_json: AsJson = False,
    ) -> None:
        from obslog.club.night.arrivals import Seen, record_arrival, split_words
        from obslog.club.night.open_night import SetupChoice

        state = state_of(context)
        target, where = split_words(words)
        seen = Seen(
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
        with state.database() as database:
            recorded = record_arrival(database, role, seen, SetupChoice(mount=mount), state.now(), sure=sure)
        _present(state, recorded, as_json)

    return command


def edit(
    context: typer.Context,
    number: Annotated[
        int | None, typer.Argument(help="As in setup show.", show_default="the last typed in")
    ] = None,
    target: Annotated[str | None, typer.Option("--target", help="The star or object.")] = None,
    where: Annotated[str | None, typer.Option("--where", help="Where it stood: '3E 2N', edge, ...")] = None,
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
    as_json: AsJson = False,
) -> None:
    """Put a typing slip right in an arrival of the open (or named) set-up, or remove it.

    obslog edit 3 --where '3W 2N'
    """
    from obslog.club.night.arrivals import Seen, edit_arrival, remove_arrival
    from obslog.club.night.open_night import SetupChoice

    state = state_of(context)
    seen = Seen(
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
        role=role,
        note=note,
    )
    choice = SetupChoice(mount, site, read_date(night) if night else None, setup)
    if remove and seen != Seen():
        raise WrongInput("An arrival is changed or removed, not both.", "Give --remove alone.")
    with state.database() as database:
        if remove:
            removed = remove_arrival(database, number, choice, state.now())
        else:
            recorded = edit_arrival(database, number, seen, choice, state.now(), sure=sure)
    if not remove:
        _present(state, recorded, as_json)
    elif as_json:
        state.screen.json({"mount": removed[0], "removed": removed[1]})
    else:
        line = removed[1]
        state.screen.line(f"Removed: {line.number}.  {line.at}  {line.role}  {line.target}  ({removed[0]})")


def saw(
    context: typer.Context,
    words: Annotated[list[str], typer.Argument(metavar="OBJECT", help="The object.", show_default=False)],
    suspected: Annotated[bool, typer.Option("--suspected", help="Not sure that it was seen.")] = False,
    missed: Annotated[
        bool, typer.Option("--not-seen", help="Looked for, not seen: that counts too.")
    ] = False,
    text: Text = None,
    found_by: FoundBy = None,
    vision: VisionOption = None,
    eyepiece: EyepieceOption = None,
    power: Power = None,
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
    as_json: AsJson = False,
) -> None:
    """An object looked at, in the open night.

    obslog saw M 81 -n 'oval glow, brighter middle' --averted --rating 4
    """
    from obslog.club.night.observations import Sight, record_observations

    state = state_of(context)
    sighting = Sighting.NOT_SEEN if missed else Sighting.SUSPECTED if suspected else Sighting.SEEN
    sight = Sight(sighting, text, found_by, vision_of(vision), eyepiece, power, filter_, rating, sketch, at)
    with state.database() as database:
        noted = record_observations(
            database,
            " ".join(words),
            sight,
            state.now(),
            observers=observers or (None,),
            mount=mount,
            sure=sure,
        )
    show_noted(state, noted, as_json)


def vision_of(averted: bool | None) -> Vision | None:
    return None if averted is None else Vision.AVERTED if averted else Vision.DIRECT


def show_noted(state: State, noted: "Noted", as_json: bool) -> None:
    """The entries as they went on record; with --json the one entry, or all where there are several."""
    if as_json:
        entries = [{**plain(entry), "remarks": noted.remarks} for entry in noted.entries]
        state.screen.json(entries[0] if len(entries) == 1 else entries)
        return
    for line in noted.entries:
        parts = [f"{line.number}.", line.at, f"{line.sighting} {line.target}", line.observer, line.vision]
        parts += [f"{line.magnification:g}x"] if line.magnification else []
        parts += [f"{line.alt_deg:.0f} deg high"] if line.alt_deg is not None else []
        state.screen.line("  ".join(str(part) for part in parts if part))
    for remark in noted.remarks:
        state.screen.note(remark)


def undo(context: typer.Context, as_json: AsJson = False) -> None:
    """Take back the last act; again for the one before."""
    from obslog.club.register.undo import undo as undo_act

    state = state_of(context)
    with state.database() as database:
        sentence = undo_act(database, state.now())
    if as_json:
        state.screen.json({"undone": sentence})
    else:
        state.screen.line(f"Undone: {sentence}")


def _present(state: State, recorded: "Recorded", as_json: bool) -> None:
    if as_json:
        state.screen.json(recorded)
        return
    a = recorded.arrival
    where = a.offset or a.landing or ""
    state.screen.line(
        "  ".join(p for p in (f"{a.number}.", a.at, a.role, a.target, where, f"({recorded.mount})") if p)
    )
    for remark in recorded.remarks:
        state.screen.note(remark)
