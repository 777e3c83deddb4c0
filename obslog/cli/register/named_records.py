"""What all named things have in common on the command line: being added, listed, shown, edited and retired."""

from typing import Annotated, Any

import typer

from obslog.cli.terminal.options import AsJson, Name, WithRetired
from obslog.cli.terminal.state import State, state_of


def named_group(kind: str, help_text: str, columns: tuple[str, ...]) -> typer.Typer:
    """A group of commands for one kind, with list, show and retire; add and edit come from the kind's own file."""
    group = typer.Typer(help=help_text, no_args_is_help=True)

    @group.command("list", help=f"List every {kind}.")
    def list_(context: typer.Context, with_retired: WithRetired = False, as_json: AsJson = False) -> None:
        from obslog.club.register.named_records import listed

        state = state_of(context)
        with state.database() as database:
            found = listed(database, kind, with_retired=with_retired)
        if as_json:
            state.screen.json(found)
        elif not found:
            state.screen.note(f"There is no {kind} yet. Add one: obslog {kind} add --help")
        else:
            wanted = (*columns, "retired_on") if with_retired else columns
            state.screen.table([heading(c) for c in wanted], [[thing[c] for c in wanted] for thing in found])

    @group.command("show", help=f"Show one {kind} with all that is on record.")
    def show(context: typer.Context, name: Name, as_json: AsJson = False) -> None:
        from obslog.club.register.named_records import shown

        state = state_of(context)
        with state.database() as database:
            present(state, shown(database, kind, name), as_json)

    add_retire(group, kind)
    return group


def add_retire(group: typer.Typer, kind: str) -> None:
    @group.command("retire", help=f"Take a {kind} out of use; its history stays.")
    def retire(
        context: typer.Context,
        name: Name,
        why: Annotated[str | None, typer.Option("--why", help="The reason.")] = None,
        on: Annotated[str | None, typer.Option("--on", help="The day.", show_default="today")] = None,
        as_json: AsJson = False,
    ) -> None:
        from obslog.club.storeroom.retirement import retire
        from obslog.times import read_date

        state = state_of(context)
        now = state.now()
        with state.database() as database:
            thing = retire(database, kind, name, why, read_date(on) if on else now.date(), now)
        present(state, thing, as_json)


def add_thing(
    context: typer.Context, kind: str, name: str, values: dict[str, Any], as_json: bool, *, sure: bool = False
) -> None:
    from obslog.club.register.named_records import add

    state = state_of(context)
    with state.database() as database:
        present(state, add(database, kind, name, given(values), state.now(), sure=sure), as_json)


def edit_thing(
    context: typer.Context,
    kind: str,
    name: str,
    values: dict[str, Any],
    rename: str | None,
    as_json: bool,
    *,
    sure: bool = False,
) -> None:
    from obslog.club.register.named_records import edit

    state = state_of(context)
    with state.database() as database:
        changed = edit(database, kind, name, given(values), state.now(), rename=rename, sure=sure)
        present(state, changed, as_json)


def given(values: dict[str, Any]) -> dict[str, Any]:
    """The values that were given on the command line."""
    return {name: value for name, value in values.items() if value is not None}


def present(state: State, thing: dict[str, Any], as_json: bool) -> None:
    if as_json:
        state.screen.json(thing)
        return
    hidden = {"retired_on", "retired_why", "note"}
    state.screen.fields((heading(k), v) for k, v in thing.items() if k not in hidden or v is not None)


_HEADINGS = {
    "lat_deg": "latitude",
    "lon_deg": "longitude",
    "elevation_m": "elevation m",
    "mount_type": "type",
    "focal_mm": "focal mm",
    "aperture_mm": "aperture mm",
    "field_deg": "field deg",
    "field_stop_mm": "field stop mm",
    "retired_on": "retired",
    "retired_why": "because",
}


def heading(column: str) -> str:
    return _HEADINGS.get(column, column.replace("_", " "))
