"""The club's own routine in a file: shown, written, looked at row by row, and loaded."""

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.template_written import written_or_done
from obslog.english import counted
from obslog.errors import quoted

if TYPE_CHECKING:
    from obslog.club.routine.club_routine import RoutineShown
    from obslog.club.routine.routine_loading import RoutineLook
    from obslog.records.database import Database

RoutineFile = Annotated[Path, typer.Argument(metavar="FILE", help="The file, TOML.", show_default=False)]


def add_to(app: typer.Typer) -> None:
    """Put the commands among those of the rules."""
    command(app, "routine", show=show_routine)(in_force)
    command(app, "write", show=show_written, document=written_or_done)(write)
    command(app, "look", show=show_look)(look)
    command(app, "load", show=show_look)(load)


def in_force(database: "Database") -> "RoutineShown":
    """Show the routine: checklist, conditions, loans, service.

    What a club has not made its own is as it ships.

    obslog rule routine
    """
    from obslog.club.routine.club_routine import routine_shown

    return routine_shown(database)


def write(
    database: "Database",
    file: RoutineFile,
    as_shipped: Annotated[
        bool, typer.Option("--as-shipped", help="What ships, whatever the club has made of it.")
    ] = False,
) -> Path:
    """Write the routine into a file, to be changed.

    obslog rule write routine.toml

    Words in it explain each part. Change it, look at what it would change, and load it.
    """
    from obslog.club.routine.routine_loading import write_routine

    write_routine(database, file, as_shipped=as_shipped)
    return file


def look(database: "Database", file: RoutineFile) -> "RoutineLook":
    """Show what a routine's file would change.

    Row by row; or every fault of it with its line and what to do. Nothing is changed.

    obslog rule look routine.toml
    """
    from obslog.club.routine.routine_file import text_of_file
    from obslog.club.routine.routine_loading import look_at_routine

    return look_at_routine(database, text_of_file(file), str(file))


def load(database: "Database", now: datetime, file: RoutineFile) -> "RoutineLook":
    """Make a file the club's routine.

    As a whole or not at all; one undo takes it back. What the file does not say is as it ships.

    obslog rule load routine.toml
    """
    from obslog.club.routine.routine_file import text_of_file
    from obslog.club.routine.routine_loading import load_routine

    return load_routine(database, text_of_file(file), str(file), now)


def show_routine(screen: Screen, shown: "RoutineShown") -> None:
    from obslog.club.routine.club_routine import standing_words

    screen.line(standing_words(shown), style="bold")
    screen.table(
        ["place", "step", "title", "own"],
        [[step.place, step.step, step.title, "yes" if step.own else ""] for step in shown.steps],
    )
    screen.line()
    screen.table(["condition", "means"], [[one.word, one.means] for one in shown.conditions])
    screen.line()
    often = "as often as asked" if shown.renewals is None else f"up to {counted(shown.renewals, 'time')}"
    screen.line(
        f"A loan lasts {counted(shown.loan_days, 'day')} and may be extended {often}. The borrower agrees:"
    )
    for statement in shown.agrees:
        screen.line(f"- {statement}", indent=2, hang=2)
    screen.line()
    screen.table(
        ["of", "task", "how often", "what to do"],
        [[task.of, task.task, task.interval, task.do] for task in shown.tasks],
    )


def show_written(screen: Screen, file: Path) -> None:
    screen.note(f"Written: {file}. Change it, then: obslog rule look {quoted(str(file))}")


def show_look(screen: Screen, found: "RoutineLook") -> None:
    for fault in found.faults:
        screen.line(f"{fault}", hang=2)
    if found.faults:
        screen.note(f"{counted(len(found.faults), 'fault')}: so it cannot be loaded. Nothing was changed.")
        return
    if not found.changes:
        screen.note("Nothing differs from what is in force.")
        return
    screen.table(
        ["part", "row", "", "was", "becomes" if found.loaded else "would be"],
        [[one.part, one.name, one.change, one.was, one.becomes] for one in found.changes],
    )
    if found.loaded:
        screen.note("It is in force. Take it back: obslog undo")
    else:
        screen.note(f"Nothing was changed. To load it: obslog rule load {quoted(found.file)}")
