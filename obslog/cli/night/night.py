"""Nights: start, end, note, list, show."""

from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.night.type_up import type_up
from obslog.cli.terminal.options import AsJson, At, NightOption, Note, SiteOption
from obslog.cli.terminal.state import State, state_of
from obslog.times import read_date

if TYPE_CHECKING:
    from obslog.club.night.night_pages import NightPage

app = typer.Typer(help="Nights: one evening to morning at a site.", no_args_is_help=True)

Present = Annotated[
    list[str] | None, typer.Option("--with", "-w", help="Who is there; give it once for each person.")
]
Sky = Annotated[
    list[str] | None, typer.Option("--sky", help="A scale and a number: 'antoniadi 2', 'sky-meter 21.3'.")
]


@app.command("start")
def start(
    context: typer.Context,
    site: Annotated[str, typer.Argument(help="The site.", show_default=False)],
    on: Annotated[
        str | None, typer.Option("--on", help="The date of its evening.", show_default="tonight")
    ] = None,
    present: Present = None,
    sky: Sky = None,
    note: Note = None,
    as_json: AsJson = False,
) -> None:
    """Open the night at a site; what follows goes into it.

    obslog night start 'Mill Field' --with Ines --with Tomasz --sky 'antoniadi 2'
    """
    from obslog.club.night.nights import start_night
    from obslog.club.night.sky_readings import read_sky

    state = state_of(context)
    with state.database() as database:
        page = start_night(
            database,
            site,
            state.now(),
            night=read_date(on) if on else None,
            present=present or (),
            sky=[read_sky(text) for text in sky or ()],
            note=note,
        )
    _present(state, page, as_json)


@app.command("note")
def note_(
    context: typer.Context,
    site: SiteOption = None,
    night: NightOption = None,
    present: Present = None,
    sky: Sky = None,
    note: Note = None,
    as_json: AsJson = False,
) -> None:
    """Note who was there, what the sky was like, or anything else.

    obslog night note --with Tomasz --sky 'sky-meter 20.9'
    """
    from obslog.club.night.nights import note_night
    from obslog.club.night.open_night import NightChoice
    from obslog.club.night.sky_readings import read_sky

    state = state_of(context)
    readings = [read_sky(text) for text in sky or ()]
    choice = NightChoice(site, read_date(night) if night else None)
    with state.database() as database:
        page = note_night(database, choice, state.now(), present=present or (), sky=readings, note=note)
    _present(state, page, as_json)


@app.command("end")
def end(
    context: typer.Context, site: SiteOption = None, at: At = None, note: Note = None, as_json: AsJson = False
) -> None:
    """Close the open night and its set-ups."""
    from obslog.club.night.nights import end_night
    from obslog.club.night.open_night import NightChoice

    state = state_of(context)
    with state.database() as database:
        page = end_night(database, NightChoice(site), state.now(), at=at, note=note)
    _present(state, page, as_json)


@app.command("list")
def list_(
    context: typer.Context,
    site: SiteOption = None,
    most: Annotated[
        int | None, typer.Option("--most", min=1, help="At most this many, the newest first.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """List the nights, the newest first."""
    from obslog.club.night.night_pages import list_nights

    state = state_of(context)
    with state.database() as database:
        nights = list_nights(database, site=site, most=most)
    if as_json:
        state.screen.json(nights)
    elif not nights:
        state.screen.note("No night is on record yet. Start one: obslog night start SITE")
    else:
        state.screen.table(
            ["night", "site", "set-ups", "arrivals", "open", "present"],
            [[n.night, n.site, n.setups, n.arrivals, "open" if n.open else "", n.present] for n in nights],
        )


@app.command("show")
def show(
    context: typer.Context, site: SiteOption = None, night: NightOption = None, as_json: AsJson = False
) -> None:
    """Show a night with its set-ups: the open one, or the newest."""
    from obslog.club.night.night_pages import show_night
    from obslog.club.night.observations import list_observations
    from obslog.club.night.open_night import NightChoice

    state = state_of(context)
    choice = NightChoice(site, read_date(night) if night else None)
    with state.database() as database:
        page = show_night(database, choice)
        seen = list_observations(database, NightChoice(page.site, page.night))
    if as_json:
        from obslog.cli.terminal.screen import plain

        state.screen.json({**plain(page), "observations": seen})
        return
    _present(state, page, as_json=False)
    if seen:
        state.screen.line()
        state.screen.table(
            ["", "at", "object", "", "observer", "description"],
            [[o.number, o.at, o.target, o.sighting, o.observer, o.description] for o in seen],
        )


def _present(state: State, page: "NightPage", as_json: bool) -> None:
    if as_json:
        state.screen.json(page)
        return
    pairs: list[tuple[str, object]] = [
        ("night of", f"{page.night} at {page.site}{' (open)' if page.open else ''}"),
        ("present", page.present or None),
        ("sky", [f"{reading.scale} {reading.value:g}" for reading in page.sky] or None),
    ]
    pairs += [(name, value) for name, value in (("from", page.started), ("to", page.ended)) if value]
    if page.note:
        pairs.append(("note", page.note))
    state.screen.fields(pairs)
    if page.setups:
        state.screen.line()
        state.screen.table(
            ["mount", "set-up", "tube", "observer", "arrivals", "open"],
            [
                [s.mount, s.setup, s.tube, s.observer, s.arrivals, "open" if s.open else ""]
                for s in page.setups
            ],
        )


app.command("type-up")(type_up)
