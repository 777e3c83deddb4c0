"""The program: all commands, and the options that go before them."""

from typing import Annotated

import typer

from obslog import __version__
from obslog.cli.commands import COMMANDS, PARTS
from obslog.cli.terminal.lazy_commands import LazyGroup
from obslog.cli.terminal.state import state_of


class Program(LazyGroup):
    table, parts = COMMANDS, PARTS


app = typer.Typer(
    name="obslog",
    cls=Program,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
    help="The logbook of a club's telescope mounts.\n\nWhat they did, night after night, and what to do about it.\n\n"
    "A new club begins with start. In the dark, prompt takes a short line for each act, or each has a command. "
    "A night on paper is typed up next morning: night type-up. What the nights say of a mount: pointing trend.",
)


def _version(context: typer.Context, asked: bool) -> None:
    if asked:
        state_of(context).screen.line(f"obslog {__version__}")
        raise typer.Exit


@app.callback()
def options(
    context: typer.Context,
    db: Annotated[
        str | None,
        typer.Option("--db", help="The database: a file, or postgresql+psycopg://... (or OBSLOG_DB)."),
    ] = None,
    red: Annotated[
        bool, typer.Option("--red", help="Dim red on dark, for night eyes (or OBSLOG_THEME=red).")
    ] = False,
    plain: Annotated[
        bool,
        typer.Option(
            "--plain", help="One fact a line, without styles, for reading aloud (or OBSLOG_PLAIN=1)."
        ),
    ] = False,
    no_pager: Annotated[
        bool, typer.Option("--no-pager", help="Do not show long answers page by page (or OBSLOG_PAGER=cat).")
    ] = False,
    version: Annotated[
        bool, typer.Option("--version", help="Say which version this is.", callback=_version, is_eager=True)
    ] = False,
) -> None:
    state_of(context).database_option = db
