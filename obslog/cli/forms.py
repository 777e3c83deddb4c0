"""Sheets to write on: for the clipboard, the store-room and the borrower."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.site_and_time import PlannedThere
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import KindOption, MountIfSeveral, Officer, PlannedAt, SetUpBy, Site, day
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.english import counted
from obslog.report.forms.paper import PaperSize

if TYPE_CHECKING:
    from obslog.club.forms.blocks import Form
    from obslog.records.database import Database

app = typer.Typer(help="Sheets to write on: PDF, or a page to print.", no_args_is_help=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class WantedFile:
    """The file that is wanted, and on what paper."""

    out: Annotated[
        Path, typer.Option("--out", help="The file to write, FILE.pdf or FILE.html.", show_default=False)
    ]
    paper: Annotated[PaperSize, typer.Option("--paper", help="The paper.")] = PaperSize.A4
    overwrite: Annotated[
        bool, typer.Option("--overwrite", help="Write over a file that is not a sheet of obslog.")
    ] = False


@dataclass(frozen=True, slots=True)
class Written:
    """The file that was written; `pages` is None where only a browser knows them."""

    file: str
    pages: int | None
    signs_replaced: int


def show_written(screen: Screen, written: Written) -> None:
    pages = "" if written.pages is None else f" ({counted(written.pages, 'page')})"
    screen.line(f"Written: {written.file}{pages}")
    if written.signs_replaced:
        are = counted(written.signs_replaced, "character is", "characters are")
        screen.note(f"{are} not in the font of the PDF, with ? in place of each; FILE.html has them all.")


def _put(
    state: State, wanted: WantedFile, make: "Callable[[Database], Form]", *, private: bool = False
) -> Written:
    """The sheet made from the records and written; what cannot be written is refused before the records are read.

    A `private` one, with names or contacts, can be read by its owner alone.
    """
    from obslog.cli.pages.written_out import say_closed
    from obslog.report.forms.printed import put_sheet, refuse_another_file

    refuse_another_file(wanted.out, overwrite=wanted.overwrite)
    with state.database() as database:
        form = make(database)
    with say_closed(wanted.out, state, private=private):
        printed = put_sheet(form, wanted.out, wanted.paper, private=private)
    return Written(f"{wanted.out}", printed.pages, printed.signs_replaced)


@command(app, "night", show=show_written)
def night(
    state: State,
    wanted: WantedFile,
    site: Annotated[str | None, typer.Option("--site", "-s", help="The site.", show_default="blank")] = None,
    mount: Annotated[
        list[str] | None,
        typer.Option("--mount", "-m", help="A mount; once for each set-up.", show_default="blank"),
    ] = None,
    on: Annotated[date | None, day("--on", help="The night.", show_default="blank")] = None,
    at: Annotated[
        str | None,
        typer.Option("--at", help="From when the stars are planned.", show_default="nine that evening"),
    ] = None,
    setups: Annotated[int, typer.Option("--setups", min=1, max=12, help="Set-ups with room for lines.")] = 1,
) -> Written:
    """Make the sheet of a night, in the order of type-up.

    obslog sheet night --out tonight.pdf --site "Mill Field" --mount Heron --on 2026-03-02

    With site, mount and night the stars to sync on stand on it with their times, as in brief. Typed up: night type-up.
    """
    from obslog.club.forms import night_sheet

    told = (site, mount, on or at)
    if any(told) and not all(told):
        state.taken.append("The stars to sync on are printed where --site, --mount and --on are given.")
    known = night_sheet.PlannedNight(site=site, mounts=tuple(mount or ()), on=on, at=at, setups=setups)
    return _put(state, wanted, lambda database: night_sheet.night_sheet(database, known, state.now()))


@command(app, "checklist", show=show_written)
def checklist(
    state: State,
    wanted: WantedFile,
    mount: MountIfSeveral = None,
    site: Site = None,
    at: PlannedAt = None,
    member: SetUpBy = None,
) -> Written:
    """Make a mount's checklist as a sheet to tick.

    Where to look first, tonight's values, boxes, room for snags.

    obslog sheet checklist Heron --out heron.pdf --site "Mill Field" --at 2026-03-02
    """

    def make(database: "Database") -> "Form":
        from obslog.club.forms.checklist_sheet import checklist_sheet
        from obslog.club.register.observing_site import instant_at_site
        from obslog.club.register.usual_choices import mount_meant, person_meant, site_meant

        say = state.taken.append
        meant, there = mount_meant(database, mount, say), site_meant(database, site, say)
        who = person_meant(database, member, state.me, say)
        at_utc = instant_at_site(database, there, at, state.now(), planning=True)
        return checklist_sheet(database, meant, there, at_utc, member=who)

    return _put(state, wanted, make)


@command(app, "loan", show=show_written)
def loan(
    state: State,
    item: Annotated[
        str, typer.Argument(help="The kit or item, or the reference of the loan.", show_default=False)
    ],
    wanted: WantedFile,
    kind: KindOption = None,
    officer: Officer = False,
) -> Written:
    """Make the form of a loan, to sign.

    obslog sheet loan "Evening kit" --out loan.pdf --officer

    With --officer the borrower's name, address, phone and e-mail are filled in. As plain text: loan form.
    """
    from obslog.club.forms.loan_sheet import loan_sheet
    from obslog.club.register.club_day import club_day

    now = state.now()
    return _put(
        state,
        wanted,
        lambda database: loan_sheet(database, item, club_day(database, now), kind=kind, with_names=officer),
        private=officer,
    )


@command(app, "stocktake", show=show_written)
def stocktake(state: State, wanted: WantedFile, officer: Officer = False) -> Written:
    """Make the sheet of a stocktake: what should be where.

    Place by place, with room for what is not on record.

    obslog sheet stocktake --out stocktake.pdf
    """
    from obslog.club.forms.stocktake_sheet import stocktake_sheet
    from obslog.club.register.club_day import club_day

    now = state.now()
    return _put(
        state,
        wanted,
        lambda database: stocktake_sheet(database, club_day(database, now), with_names=officer),
        private=officer,
    )


@command(app, "pointing-run", show=show_written)
def pointing_run(
    state: State,
    wanted: WantedFile,
    there: PlannedThere,
    mount: MountIfSeveral = None,
    stars: Annotated[int, typer.Option("--stars", help="How many stars, the sync included.")] = 12,
) -> Written:
    """Make the sheet of a run of go-tos all over the sky.

    For a mount that is to be measured; the columns are those of the arrivals sheet.

    obslog sheet pointing-run Heron --out run.pdf --site "Mill Field" --at "2026-03-02 21:00"
    """

    def make(database: "Database") -> "Form":
        from obslog.club.forms.run_sheet import run_sheet
        from obslog.club.register.usual_choices import mount_meant

        meant = mount_meant(database, mount, state.taken.append)
        view, at_utc = there.seen(database, state)
        return run_sheet(database, meant, view, at_utc, stars=stars)

    return _put(state, wanted, make)
