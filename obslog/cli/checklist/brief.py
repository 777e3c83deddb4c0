"""The briefing: the evening on one screen."""

from typing import Annotated

import typer

from obslog.cli.terminal.options import AsJson, At
from obslog.cli.terminal.state import state_of


def add_to(app: typer.Typer) -> None:
    app.command("brief")(brief)


def brief(
    context: typer.Context,
    site: Annotated[str, typer.Option("--site", "-s", help="The site.", show_default=False)],
    at: At = None,
    mount: Annotated[
        list[str] | None,
        typer.Option(
            "--mount", "-m", help="The mount; once for each.", show_default="those used at the site"
        ),
    ] = None,
    member: Annotated[str | None, typer.Option("--member", help="Who sets it up.")] = None,
    full: Annotated[
        bool, typer.Option("--full", help="Everything, mount by mount, on as many screens.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Tonight on one screen: darkness, Moon, pole star, where to look first, sync stars, targets, what is due.

    obslog brief --site 'Mill Field' --at 21:00 --mount Heron --member Ines
    """
    from obslog.club.checklist.briefing import brief as make_brief
    from obslog.club.register.observing_site import instant_at, observing_site

    state = state_of(context)
    with state.database() as database:
        view = observing_site(database, site)
        instant = instant_at(view, at, state.now(), planning=True)
        made = make_brief(database, view, instant, mount or (), member_name=member)
    if as_json:
        state.screen.json(made)
    elif full:
        from obslog.cli.checklist.brief_full import show_in_full

        show_in_full(state, made, view.zone)
    else:
        from obslog.cli.checklist.brief_screen import one_screen

        for line in one_screen(made, view.zone):
            state.screen.line(*line)
