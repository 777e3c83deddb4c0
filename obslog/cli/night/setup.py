"""Set-ups: start, edit, flip, end and show."""

from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.night.choices import WhichSetup
from obslog.cli.night.quick_verbs import SureOption
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import At, MountIfSeveral, Note, SiteOption
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.vocabulary.mounts import PierSide

if TYPE_CHECKING:
    from obslog.club.night.setup_corrections import CorrectedSetup
    from obslog.club.night.setups import SetupPage
    from obslog.records.database import Database

app = typer.Typer(help="Set-ups: one mount and tube aligned once.", no_args_is_help=True)

MountArgument = Annotated[str | None, typer.Argument(help="The mount.", show_default="the open set-up")]
Tube = Annotated[str | None, typer.Option("--tube", "-t", help="The tube on it.")]
Observer = Annotated[str | None, typer.Option("--observer", "-o", help="Who sets it up.")]
Eyepiece = Annotated[
    str | None, typer.Option("--eyepiece", "-e", help="The eyepiece used; it gives the field.")
]


def show_page(screen: Screen, page: "SetupPage") -> None:
    head = f"{page.mount}, set-up {page.setup} of the night of {page.night} at {page.site}"
    screen.line(head + (" (open)" if page.open else ""), style="bold")
    parts = [
        ("tube", page.tube),
        ("observer", page.observer),
        ("eyepiece", page.eyepiece),
        ("since", page.started),
    ]
    told = [f"{name} {value}" for name, value in parts if value]
    if page.pier_side:
        told.append(f"tube on the {page.pier_side} side of the pier since {page.pier_side_since}")
    screen.line(", ".join(told) or "nothing else is known about it")
    if page.note:
        screen.line(page.note)
    if page.arrivals:
        screen.line()
        screen.table(
            ["no.", "at", "role", "target", "offset '", "landing", "field '", "pier", "note"],
            [
                [a.number, a.at, a.role, a.target, a.offset, a.landing, a.field_arcmin, a.pier_side, a.note]
                for a in page.arrivals
            ],
        )


def show_corrected(screen: Screen, corrected: "CorrectedSetup") -> None:
    show_page(screen, corrected.setup)
    for remark in corrected.remarks:
        screen.note(remark)


@command(app, "start", show=show_page)
def start(
    database: "Database",
    now: datetime,
    state: State,
    mount: MountIfSeveral = None,
    tube: Tube = None,
    observer: Observer = None,
    eyepiece: Eyepiece = None,
    site: SiteOption = None,
    at: At = None,
    note: Note = None,
    sure: SureOption = False,
) -> "SetupPage":
    """Begin a set-up in the open night.

    A set-up of the same mount that is still open is ended. What is not told is as it was last: the tube that was on
    this mount, the eyepiece that was in that tube, and you; "none" leaves it open.

    obslog setup start Heron --tube "Long tube" --observer Ines --eyepiece "Wide 25"
    """
    from obslog.club.night.setups import start_setup
    from obslog.club.register.usual_choices import SetupParts, mount_meant, parts_meant

    mount = mount_meant(database, mount, state.taken.append)
    told = SetupParts(tube=tube, observer=observer, eyepiece=eyepiece)
    meant = parts_meant(database, mount, told, state.me, state.taken.append)
    return start_setup(
        database, mount, now,
        tube=meant.tube, observer=meant.observer, eyepiece=meant.eyepiece, site=site, at=at, note=note, sure=sure,
        say=state.taken.append,
    )  # fmt: skip


@command(app, "edit", show=show_corrected)
def edit(
    database: "Database",
    now: datetime,
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
    *,
    which: WhichSetup,
) -> "CorrectedSetup":
    """Correct how a set-up began.

    The open one, or the newest, unless another is named.

    obslog setup edit Heron --start 20:10 --eyepiece "Wide 25"
    """
    from obslog.club.night.setup_corrections import SetupEntry, edit_setup

    entry = SetupEntry(start=start, tube=tube, observer=observer, eyepiece=eyepiece, note=note)
    return edit_setup(database, entry, which.choice(mount), now)


@command(app, "flip", show=show_corrected)
def flip(
    database: "Database",
    now: datetime,
    side: Annotated[
        PierSide,
        typer.Argument(
            metavar="SIDE", help="The side of the pier the TUBE is on now: east, west.", show_default=False
        ),
    ],
    mount: MountArgument = None,
    site: SiteOption = None,
    at: At = None,
    sure: SureOption = False,
) -> "CorrectedSetup":
    """Say to which side of the pier the tube was turned.

    Arrivals from then on get that side where none is said of them; those on record keep theirs.

    obslog setup flip west Heron --at 22:40
    """
    from obslog.club.night.open_night import SetupChoice
    from obslog.club.night.setup_corrections import flip_setup

    return flip_setup(database, side, SetupChoice(mount, site), now, at=at, sure=sure)


@command(app, "end", show=show_page)
def end(
    database: "Database", now: datetime, mount: MountArgument = None, site: SiteOption = None, at: At = None
) -> "SetupPage":
    """End a set-up; the night stays open.

    A set-up ends when the mount is moved, reset or packed away.

    obslog setup end Heron --at 23:10
    """
    from obslog.club.night.open_night import SetupChoice
    from obslog.club.night.setup_corrections import end_setup

    return end_setup(database, SetupChoice(mount, site), now, at=at)


@command(app, "show", show=show_page)
def show(database: "Database", mount: MountArgument = None, *, which: WhichSetup) -> "SetupPage":
    """Show a set-up with its arrivals, numbered.

    The open one, or the newest, unless another is named.

    obslog setup show Heron
    """
    from obslog.club.night.setups import show_setup

    return show_setup(database, which.choice(mount))
