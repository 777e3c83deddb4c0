"""Set-ups: start and show."""

from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.options import AsJson, At, NightOption, Note, SetupOption, SiteOption
from obslog.cli.terminal.state import State, state_of
from obslog.times import read_date

if TYPE_CHECKING:
    from obslog.club.night.setups import SetupPage

app = typer.Typer(help="Set-ups: one mount and tube aligned once.", no_args_is_help=True)


@app.command("start")
def start(
    context: typer.Context,
    mount: Annotated[str, typer.Argument(help="The mount.", show_default=False)],
    tube: Annotated[str | None, typer.Option("--tube", "-t", help="The tube on it.")] = None,
    observer: Annotated[str | None, typer.Option("--observer", "-o", help="Who sets it up.")] = None,
    eyepiece: Annotated[
        str | None, typer.Option("--eyepiece", "-e", help="The eyepiece used; it gives the field.")
    ] = None,
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


@app.command("show")
def show(
    context: typer.Context,
    mount: Annotated[str | None, typer.Argument(help="The mount.", show_default="the open set-up")] = None,
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
        ", ".join(f"{name} {value}" for name, value in parts if value) or "nothing more is known of it"
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
