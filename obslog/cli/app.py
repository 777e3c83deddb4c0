"""The table of all commands, in the order of the help, and the options that go before them."""

from typing import Annotated

import typer

from obslog import __version__
from obslog.cli.terminal.lazy_commands import Entry, LazyGroup
from obslog.cli.terminal.state import state_of

COMMANDS = {
    "start": Entry(
        "obslog.cli.register.start", "add_to", "Put on record what a new club begins with, step by step."
    ),
    "prompt": Entry("obslog.cli.prompt.prompt", "add_to", "Type the whole evening at one prompt."),
    "sync": Entry("obslog.cli.night.quick_verbs", "add_to", "Record a sync star, and where it landed."),
    "check": Entry("obslog.cli.night.quick_verbs", "add_to", "Record a check star: measured, not synced on."),
    "goto": Entry("obslog.cli.night.quick_verbs", "add_to", "Record an ordinary go-to."),
    "saw": Entry("obslog.cli.night.quick_verbs", "add_to", "Record an observation in the current night."),
    "edit": Entry("obslog.cli.night.quick_verbs", "add_to", "Correct a mistyped arrival, or remove it."),
    "undo": Entry(
        "obslog.cli.night.quick_verbs", "add_to", "Undo the last change, or the act of a reference."
    ),
    "redo": Entry("obslog.cli.night.quick_verbs", "add_to", "Do again what was undone last."),
    "history": Entry("obslog.cli.history", "add_to", "Show the newest acts, or the life of a record."),
    "review": Entry(
        "obslog.cli.review.review", "add_to", "Say what to lend, watch, service or retire, and why."
    ),
    "checklist": Entry(
        "obslog.cli.checklist.checklist", "add_to", "Go through the steps of a set-up in order."
    ),
    "brief": Entry("obslog.cli.checklist.brief", "add_to", "Show tonight on one screen."),
    "optics": Entry("obslog.cli.targets.optics", "add_to", "Say what a tube shows with an eyepiece."),
    "targets": Entry(
        "obslog.cli.targets.targets", "add_to", "Choose what to look at tonight, from west to east."
    ),
    "find": Entry("obslog.cli.night.observations", "add_to", "Find words in all that was written."),
    "progress": Entry("obslog.cli.night.observations", "add_to", "Show how far a member is through a list."),
    "scales": Entry(
        "obslog.cli.night.sky_scales", "add_to", "Show the scales of seeing, transparency and darkness."
    ),
    "words": Entry("obslog.cli.words", "add_to", "Say what the words of this program mean."),
    "look": Entry(
        "obslog.cli.look.remember", "add_to", "Say how output looks here, or keep how it is to look."
    ),
    "demo": Entry("obslog.cli.demo", "add_to", "Build an invented club in a new file, and look at it."),
    "night": Entry("obslog.cli.night.night", "app", "Nights: one evening to morning at a site."),
    "setup": Entry("obslog.cli.night.setup", "app", "Set-ups: one mount and tube aligned once."),
    "snag": Entry("obslog.cli.night.snag", "app", "Snags: what went wrong, tied to a step of the checklist."),
    "observation": Entry(
        "obslog.cli.night.observations", "app", "The observing record: what was seen, entry by entry."
    ),
    "sky": Entry("obslog.cli.sky.sky", "app", "The sky from a site: where things are, and when."),
    "pointing": Entry("obslog.cli.pointing", "app", "How well mounts point, why, and whether that changes."),
    "sheet": Entry("obslog.cli.forms", "app", "Sheets to write on: PDF, or a page to print."),
    "page": Entry(
        "obslog.cli.pages.page", "app", "Pages for a browser, each in one file that fetches nothing."
    ),
    "import": Entry("obslog.cli.sheets", "import_app", "Import data."),
    "export": Entry("obslog.cli.sheets", "export_app", "Export data."),
    "site": Entry("obslog.cli.register.site", "app", "The sites one observes from."),
    "member": Entry("obslog.cli.register.member", "app", "The people of the club."),
    "mount": Entry("obslog.cli.register.equipment", "mount_app", "The mounts on record."),
    "tube": Entry("obslog.cli.register.equipment", "tube_app", "The telescope tubes on record."),
    "eyepiece": Entry("obslog.cli.register.equipment", "eyepiece_app", "The eyepieces on record."),
    "item": Entry(
        "obslog.cli.register.equipment", "item_app", "Other items: finders, filters, batteries, cases."
    ),
    "store": Entry(
        "obslog.cli.storeroom.store", "app", "The store-room: what the club owns, and where it is."
    ),
    "stocktake": Entry(
        "obslog.cli.shelves.stocktake", "app", "Stocktakes: what should be where, and what was seen."
    ),
    "label": Entry(
        "obslog.cli.shelves.label", "add_to", "Make labels with a tag, a name and a code to scan."
    ),
    "service": Entry("obslog.cli.upkeep.service", "app", "Services: what was done, what is due."),
    "kit": Entry("obslog.cli.storeroom.kit", "app", "Kits: items lent together."),
    "loan": Entry("obslog.cli.storeroom.loan", "app", "Loans: who has what, and until when."),
    "rule": Entry("obslog.cli.register.rules", "app", "The rules: numbers for lending and judging."),
    "officer": Entry("obslog.cli.annual", "app", "The officer: reports, papers, purchases, handing over."),
    "bundle": Entry(
        "obslog.cli.together.bundle", "app", "Bundles: what this laptop knows, for others to merge."
    ),
    "merge": Entry("obslog.cli.together.merging", "add_to", "Take in what other laptops know."),
    "conflicts": Entry(
        "obslog.cli.together.conflicts", "add_to", "List or settle what two laptops say otherwise."
    ),
    "same": Entry("obslog.cli.together.same", "add_to", "Join two records that are one."),
    "db": Entry("obslog.cli.care.database", "app", "The database: where it is, copies, health."),
}


class Program(LazyGroup):
    table = COMMANDS


app = typer.Typer(
    name="obslog",
    cls=Program,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
    help="The logbook of a club's telescope mounts.\n\nWhat they did, night after night, and what to do about it.\n\n"
    "In a new club, first of all: start. Before a night: brief, checklist. In the dark: prompt, where a short line "
    "does each act; or a command for each: night start, setup start, sync, check, goto, saw, snag add, night end. From "
    "paper, next morning: night type-up. Afterwards: night show, pointing fit, pointing trend.",
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
