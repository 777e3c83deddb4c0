"""Set-ups: start, edit, end and show."""

from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.options import AsJson, At, NightOption, Note, SetupOption, SiteOption
from obslog.cli.terminal.state import State, state_of
from obslog.times import read_date

if TYPE_CHECKING:
    from obslog.club.night.setups import SetupPage

app = typer.Typer(help="Set-ups: one mount and tube aligned once.", no_args_is_help=True)

MountArgument = Annotated[
    str | None, typer.Argument(metavar="[MOUNT]", help="The mount.", show_default="the open set-up")
]
Tube = Annotated[str | None, typer.Option("--tube", "-t", help="The tube on it.")]
Observer = Annotated[str | None, typer.Option("--observer", "-o", help="Who sets it up.")]
Eyepiece = Annotated[
    str | None, typer.Option("--eyepiece", "-e", help="The eyepiece used; it gives the field.")
]


@app.command("start")
def start(
    context: typer.Context,
    mount: Annotated[str, typer.Argument(help="The mount.", show_default=False)],
    tube: Tube = None,
    observer: Observer = None,
    eyepiece: Eyepiece = None,
    site: SiteOption = None,
    at: At = None,
    note: Note = None,
    as_json: AsJson = False,
) -> None:
    """Begin a set-up in the open night; one of the same mount that is still open is ended.

    obslog setup start Heron --tube 'Long tube' --observer Ines --eyepiece 'Wide 25'
    """
    from obslog.club.night.setups import start_setup

    state = state_of(context)
    with state.database() as database:
        page = start_setup(
            database,
            mount,
            state.now(),
            tube=tube,
            observer=observer,
            eyepiece=eyepiece,
            site=site,
            at=at,
            note=note,
        )
    _present(state, page, as_json)


@app.command("edit")
def edit(
    context: typer.Context,
    mount: MountArgument = None,
    start: Annotated[
        str | None,
        typer.Option(
            "--start", help="When it really began: 21:40 local, or 20:40Z.", show_default="as it was"
        ),
    ] = None,
    tube: Tube = None,
    observer: Observer = None,
    eyepiece: Eyepiece = None,
    note: Note = None,
    site: SiteOption = None,
    night: NightOption = None,
    setup: SetupOption = None,
    as_json: AsJson = False,
) -> None:
    """Correct a set-up that was begun wrongly: the open one, or the newest.

    obslog setup edit Heron --start 20:10 --eyepiece 'Wide 25'
    """
    from obslog.club.night.open_night import SetupChoice
    from obslog.club.night.setup_corrections import SetupEntry, edit_setup

    state = state_of(context)
    entry = SetupEntry(start=start, tube=tube, observer=observer, eyepiece=eyepiece, note=note)
    choice = SetupChoice(mount, site, read_date(night) if night else None, setup)
    with state.database() as database:
        corrected = edit_setup(database, entry, choice, state.now())
    if as_json:
        state.screen.json(corrected)
        return
    _present(state, corrected.setup, as_json=False)
    for remark in corrected.remarks:
        state.screen.note(remark)


@app.command("end")
def end(
    context: typer.Context,
    mount: MountArgument = None,
    site: SiteOption = None,
    at: At = None,
    as_json: AsJson = False,
) -> None:
    """End a set-up that is moved, reset or packed away; the night stays open.

    obslog setup end Heron --at 23:10
    """
    from obslog.club.night.open_night import SetupChoice
    from obslog.club.night.setup_corrections import end_setup

    state = state_of(context)
    with state.database() as database:
        page = end_setup(database, SetupChoice(mount, site), state.now(), at=at)
    _present(state, page, as_json)


@app.command("show")
def show(
    context: typer.Context,
    mount: MountArgument = None,
    site: SiteOption = None,
    night: NightOption = None,
    setup: SetupOption = None,
    as_json: AsJson = False,
) -> None:
    """Show a set-up with its arrivals, numbered: the open one, or the newest."""
    from obslog.club.night.open_night import SetupChoice
    from obslog.club.night.setups import show_setup

    state = state_of(context)
    choice = SetupChoice(mount, site, read_date(night) if night else None, setup)
    with state.database() as database:
        _present(state, show_setup(database, choice), as_json)


def _present(state: State, page: "SetupPage", as_json: bool) -> None:
    if as_json:
        state.screen.json(page)
        return
    head = f"{page.mount}, set-up {page.setup} of the night of {page.night} at {page.site}"
    state.screen.line(head + (" (open)" if page.open else ""), style="bold")
    parts = [
        ("tube", page.tube),
        ("observer", page.observer),
        ("eyepiece", page.eyepiece),
        ("since", page.started),
    ]
    state.screen.line(
        ", ".join(f"{name} {value}" for name, value in parts if value) or "nothing else is known about it"
    )
    if page.note:
        state.screen.line(page.note)
    if page.arrivals:
        state.screen.line()
        state.screen.table(
            ["no.", "at", "role", "target", "offset '", "landing", "field '", "pier", "note"],
            [
                [a.number, a.at, a.role, a.target, a.offset, a.landing, a.field_arcmin, a.pier_side, a.note]
                for a in page.arrivals
            ],
        )
