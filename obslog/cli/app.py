"""All commands put together, and the options that go before them."""

from typing import Annotated

import typer

from obslog import __version__
from obslog.cli import annual, database, demo, pointing, sheets, words
from obslog.cli.checklist import brief, checklist
from obslog.cli.night import night, observations, quick_verbs, setup, sky_scales, snag
from obslog.cli.register import equipment, member, rules, site
from obslog.cli.review import loan_advice, review
from obslog.cli.storeroom import kit, loan, store
from obslog.cli.targets import optics, sky, targets
from obslog.cli.terminal.help_pages import PlainCommand, PlainGroup
from obslog.cli.terminal.state import state_of
from obslog.cli.upkeep import service

app = typer.Typer(
    name="obslog",
    cls=PlainGroup,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
    help="The logbook of a club's telescope mounts.\n\nWhat they did, night after night, and what to do about it.\n\n"
    "The way through a night: night start, setup start, sync, check, goto, saw, snag add, night end. "
    "Before: brief, checklist. Afterwards: pointing trend.",
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
    version: Annotated[
        bool, typer.Option("--version", help="Say which version this is.", callback=_version, is_eager=True)
    ] = False,
) -> None:
    state_of(context).database_option = db


quick_verbs.add_to(app)
for name, group in (
    ("night", night.app),
    ("setup", setup.app),
    ("snag", snag.app),
    ("observation", observations.app),
    ("sky", sky.app),
    ("pointing", pointing.app),
    ("import", sheets.import_app),
    ("export", sheets.export_app),
    ("site", site.app),
    ("member", member.app),
    ("mount", equipment.mount_app),
    ("tube", equipment.tube_app),
    ("eyepiece", equipment.eyepiece_app),
    ("item", equipment.item_app),
    ("store", store.app),
    ("service", service.app),
    ("kit", kit.app),
    ("loan", loan.app),
    ("rule", rules.app),
    ("officer", annual.app),
    ("db", database.app),
):
    app.add_typer(group, name=name, cls=PlainGroup)
loan_advice.add_to(loan.app)
review.add_to(app)
checklist.add_to(app)
brief.add_to(app)
optics.add_to(app)
targets.add_to(app)
observations.add_to(app)
sky_scales.add_to(app)
words.add_to(app)
demo.add_to(app)
for typer_group in (app, *(inner.typer_instance for inner in app.registered_groups)):
    for registered in typer_group.registered_commands if typer_group else ():
        registered.cls = PlainCommand
