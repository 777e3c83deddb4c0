"""The demo: an invented club in a fresh database, and a first look at it."""

import importlib
import importlib.util
import sys
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.errors import ObslogError, WrongInput, quoted
from obslog.grammar.typed_times import read_date
from obslog.settings import resource_dir

if TYPE_CHECKING:
    from obslog.records.database import Database

Into = Annotated[
    Path | None,
    typer.Option(
        "--into", "--out", help="The file to make.", show_default="obslog-demo.db, or the next free name"
    ),
]

Until = Annotated[
    date | None,
    typer.Option(
        "--until",
        help="Its last night; the same night makes the same club.",
        show_default="last night",
        parser=read_date,  # before there is a club, no clocks say what yesterday is
        metavar="DATE",
    ),
]


class DemoFileThere(ObslogError):
    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{path} is there already; the demo never writes over a file.",
            "Name another with --into, or delete it first if it is an old demo.",
        )


class NightToCome(WrongInput):
    def __init__(self, last_night: date) -> None:
        super().__init__(
            f"The night of {last_night} is not over yet.", "Name a night before today with --until, or none."
        )


@dataclass(frozen=True, slots=True)
class Demo:
    """The file that was made, and the mount in it that gets worse."""

    database: str
    worsening_mount: str


def add_to(app: typer.Typer) -> None:
    """Put the command among the program's own."""
    command(app, "demo", show=show_demo)(demo)


def demo(state: State, now: datetime, into: Into = None, until: Until = None) -> Demo:
    """Build an invented club in a new file, and look at it.

    It holds two years of nights, and never touches your own records.

    obslog demo --into trial.db
    """
    from obslog.records.opening import open_database

    if into is None and state.database_option is not None:
        raise WrongInput(
            "The demo makes a file of its own, and takes no --db.", "Name the file: obslog demo --into FILE"
        )
    last_night = until or now.date() - timedelta(days=1)
    if last_night >= now.date():
        raise NightToCome(last_night)
    path = into or _free_name()
    if path.exists():
        raise DemoFileThere(path)
    database = open_database(str(path), now, lambda _text: None)
    try:
        load = _demo_package()
        with state.screen.progress("Building two years of an invented club", load.STEPS) as tick:
            load.fill(database, last_night, now, tick)
    except BaseException:
        database.close()
        _remove(path)
        raise
    database.close()
    return Demo(str(path), load.WORSENING_MOUNT)


def show_demo(screen: Screen, made: Demo, now: datetime) -> None:
    from obslog.records.opening import open_database

    database = open_database(made.database, now, screen.note)
    try:
        _first_look(screen, database, made, now)
    finally:
        database.close()


def _first_look(screen: Screen, database: "Database", made: Demo, now: datetime) -> None:
    from obslog.cli.checklist.checklist import show_checklist
    from obslog.cli.performance.trend import show_trend
    from obslog.club.checklist.checklist import checklist
    from obslog.club.over_time.landing_history import mount_history
    from obslog.club.register.named_records import listed
    from obslog.club.register.observing_site import instant_at_site

    mount = made.worsening_mount
    history = mount_history(database, mount)
    sites = [landed.setup.site for landed in history.setups]
    site = max(sorted(set(sites)), key=sites.count)
    kinds = {kind: len(listed(database, kind)) for kind in ("mount", "member", "site")}
    screen.line(
        f"An invented club is in {made.database}: {kinds['mount']} mounts, {kinds['member']} members, "
        f"{kinds['site']} sites, two years of nights."
    )
    screen.line()
    screen.line("One mount gets worse. Its history says so, and how sure that is:", style="bold")
    screen.line()
    show_trend(screen, history, most=6)
    screen.line()
    screen.line(
        "The next person to set it up finds what went wrong before, at the step where it did:", style="bold"
    )
    screen.line()
    show_checklist(
        screen,
        checklist(database, mount, site, instant_at_site(database, site, None, now, planning=True)),
        short=True,
    )
    screen.line()
    screen.line("Try next:", style="bold")
    for line in (
        "night list --most 10",
        f"checklist {quoted(mount)} --site {quoted(site)}",
        f"setup show {quoted(mount)}",
        "snag list",
        f"export arrivals --mount {quoted(mount)}",
    ):
        screen.line(f"  obslog --db {quoted(made.database)} {line}")


def _free_name() -> Path:
    """obslog-demo.db here, or with the next number that is free."""
    names = (Path(f"obslog-demo{number}.db") for number in ("", *(f"-{n}" for n in range(2, 1000))))
    return next(path for path in names if not path.exists())


def _remove(path: Path) -> None:
    """Leave nothing half built behind."""
    for file in (path, path.with_name(path.name + "-wal"), path.with_name(path.name + "-shm")):
        file.unlink(missing_ok=True)


def _demo_package() -> ModuleType:
    """The demo's loader; its package stands beside obslog in a checkout, and inside it when installed."""
    folder = resource_dir("seed_demo")
    if "seed_demo" not in sys.modules:
        spec = importlib.util.spec_from_file_location(
            "seed_demo", folder / "__init__.py", submodule_search_locations=[str(folder)]
        )
        assert spec is not None
        assert spec.loader is not None
        package = importlib.util.module_from_spec(spec)
        sys.modules["seed_demo"] = package
        spec.loader.exec_module(package)
    return importlib.import_module("seed_demo.load")
