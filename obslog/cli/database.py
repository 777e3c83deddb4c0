"""The database itself: where it is, a copy of it, its health."""

from pathlib import Path
from typing import Annotated

import typer

from obslog.cli.terminal.options import AsJson
from obslog.cli.terminal.state import state_of
from obslog.errors import ObslogError

app = typer.Typer(help="The database: where it is, copies, health.", no_args_is_help=True)


@app.command("where")
def where(context: typer.Context, as_json: AsJson = False) -> None:
    """Say which database is used."""
    state = state_of(context)
    with state.database() as database:
        if as_json:
            state.screen.json({"database": database.where})
        else:
            state.screen.line(database.where)


@app.command("backup")
def backup(
    context: typer.Context, file: Annotated[Path, typer.Argument(help="Where to.", show_default=False)]
) -> None:
    """Copy the database while it may be in use; a plain copy of the file can miss the newest entries."""
    from obslog.records.backup import back_up

    state = state_of(context)
    with state.database() as database:
        back_up(database.engine, file)
    state.screen.note(f"Copied to {file}")


class Damaged(ObslogError):
    def __init__(self, found: list[str]) -> None:
        super().__init__(
            "The database is damaged.", "Keep the file as it is, and go back to the newest copy."
        )
        self.details = found


@app.command("check")
def check(context: typer.Context, as_json: AsJson = False) -> None:
    """Look for damage in the whole database."""
    from obslog.records.backup import complaints

    state = state_of(context)
    with state.database() as database:
        found = complaints(database.engine)
    if as_json:
        state.screen.json({"complaints": found})
    if found:
        raise Damaged(found)
    if not as_json:
        state.screen.line("No damage found.")
