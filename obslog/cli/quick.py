"""The quick verbs of the dark: sync, check, goto, saw, edit and undo, each one short line."""

from typing import TYPE_CHECKING, Annotated, Any

import typer

from obslog.cli.options import AsJson, At, MountOption, NightOption, Note, SetupOption, SiteOption
from obslog.cli.plain_text import PlainTextCommand
from obslog.cli.state import State, state_of
from obslog.times import read_date
from obslog.vocabulary import FindingMethod, PierSide, Role, Sighting

if TYPE_CHECKING:
    from obslog.club.arrivals import Recorded

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
        as_json: AsJson = False,
    ) -> None:
        from obslog.club.arrivals import Seen, record_arrival, split_words
        from obslog.club.current import SetupChoice

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
            _present(
                state, record_arrival(database, role, seen, SetupChoice(mount=mount), state.now()), as_json
            )

    return command


def edit(
    context: typer.Context,
    number: Annotated[
        int | None, typer.Argument(help="As in setup show.", show_default="the last typed in")
    ] = None,
    target: Annotated[str | None, typer.Option("--target", help="The star or object.")] = None,
    where: Annotated[str | None, typer.Option("--where", help="Where it stood: '3E 2N', edge, ...")] = None,
    role: Annotated[Role | None, typer.Option("--role", help="sync, check or goto.")] = None,
    at: At = None,
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
    as_json: AsJson = False,
) -> None:
    """Put a typing slip right in an arrival of the open (or named) set-up.

    obslog edit 3 --where '3W 2N'
    """
    from obslog.club.arrivals import Seen, edit_arrival
    from obslog.club.current import SetupChoice

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
    with state.database() as database:
        _present(state, edit_arrival(database, number, seen, choice, state.now()), as_json)


def saw(
    context: typer.Context,
    words: Annotated[list[str], typer.Argument(metavar="OBJECT", help="The object.", show_default=False)],
    suspected: Annotated[bool, typer.Option("--suspected", help="Not sure that it was seen.")] = False,
    missed: Annotated[
        bool, typer.Option("--not-seen", help="Looked for, not seen: that counts too.")
    ] = False,
    text: Annotated[str | None, typer.Option("--text", "-n", help="What it looked like.")] = None,
    found_by: Annotated[FindingMethod | None, typer.Option("--by", help="How it was found.")] = None,
    eyepiece: EyepieceOption = None,
    observer: Observer = None,
    mount: MountOption = None,
    at: At = None,
    as_json: AsJson = False,
) -> None:
    """An object looked at, in the open night.

    obslog saw M 81 -n 'oval glow, brighter middle'
    """
    from obslog.club.observations import record_observation

    state = state_of(context)
    sighting = Sighting.NOT_SEEN if missed else Sighting.SUSPECTED if suspected else Sighting.SEEN
    with state.database() as database:
        line = record_observation(
            database,
            " ".join(words),
            state.now(),
            sighting=sighting,
            description=text,
            found_by=found_by,
            observer=observer,
            eyepiece=eyepiece,
            mount=mount,
            at=at,
        )
    if as_json:
        state.screen.json(line)
    else:
        state.screen.line(
            f"{line.at}  {line.sighting} {line.target}{', ' + line.observer if line.observer else ''}"
        )


def undo(context: typer.Context, as_json: AsJson = False) -> None:
    """Take back the last act; again for the one before."""
    from obslog.club.undoing import undo as undo_act

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
