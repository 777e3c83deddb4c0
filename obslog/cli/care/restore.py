"""Going back to a copy: first what that would lose and bring back, then a question, then the copy in its place."""

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import Yes
from obslog.cli.terminal.questions import ask_first
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.english import counted
from obslog.errors import ObslogError, WrongInput, quoted

if TYPE_CHECKING:
    from obslog.records.care.apart import ActsApart, ActTold, Apart
    from obslog.records.care.going_back import GoingBack

Copy = Annotated[
    Path | None,
    typer.Argument(help="The copy to go back to; without it, the newest is named.", metavar="COPY"),
]
OnlyLook = Annotated[
    bool, typer.Option("--look", help="Only say what would be lost, and what would come back.")
]


FOLDER_OF_COPIES = "OBSLOG_BACKUPS"


class ServerRestore(ObslogError):
    def __init__(self) -> None:
        super().__init__(
            "This database is on a server.",
            "Go back with the server's own tool, pg_restore or psql: see the page on servers.",
        )


class NoCopyNamed(WrongInput):
    def __init__(self, database: Path, newest: Path | None) -> None:
        super().__init__(
            f"Which copy? The newest of {database} here is {newest}."
            if newest
            else f"Which copy? None of {database} with the time in its name is here.",
            f"See what it would change: obslog db restore {quoted(str(newest))} --look"
            if newest
            else "Name one that you made, here or on your memory stick: obslog db restore FILE --look",
        )


def folder_of_copies(state: State) -> Path:
    """The folder of dated copies that the environment names, else that beside the database."""
    from obslog.records.files.copies import folder_beside

    named = state.environment.get(FOLDER_OF_COPIES, "").strip()
    return Path(named) if named else folder_beside(Path(state.target))


def show_restore(screen: Screen, back: "GoingBack") -> None:
    if back.done:
        screen.line(f"{back.database} is as it was in {back.copy}.", style="bold")
    else:
        screen.line(f"Nothing was changed. The copy is {back.copy}.", style="bold")
    for line in _told(back):
        screen.line(line, hang=2)
    if back.kept:
        screen.line(f"The file of before is kept: {back.kept}")
    if back.done and back.upgrade_follows:
        screen.line(
            "The copy is of an older obslog: the next command brings it up to date, and makes a copy first."
        )


def _told(back: "GoingBack") -> Iterator[str]:
    """What is lost and what comes back, a fact a line."""
    if back.unreadable:
        yield f"What is lost cannot be told, for the database cannot be read: {back.unreadable}."
    elif back.apart is None:
        yield f"There was no database {back.database}: nothing is lost."
    else:
        yield from _both(back.apart, "is" if back.done else "would be")


def _both(apart: "Apart", be: str) -> Iterator[str]:
    yield f"Newest act of now: {_act(apart.newest_now)}"
    yield f"Newest act in the copy: {_act(apart.newest_in_copy)}"
    if apart.lost.acts:
        yield from _acts(
            apart.lost, f"{counted(apart.lost.acts, 'act')} of now {_are(apart.lost.acts, be)} lost"
        )
    elif not any(rows.only_now or rows.differ for rows in apart.rows):
        yield f"Nothing that is on record now {be} lost."
    if apart.comes_back.acts:
        count = apart.comes_back.acts
        come = ("come" if count > 1 else "comes") if be == "is" else "would come"
        yield from _acts(apart.comes_back, f"{counted(count, 'act')} {come} back")
    for rows in apart.rows:
        told = [
            f"{number} {what}"
            for number, what in (
                (rows.only_now, "lost"),
                (rows.only_in_copy, "come back" if rows.only_in_copy > 1 else "comes back"),
                (rows.differ, "otherwise in the copy"),
            )
            if number
        ]
        if told:
            name = rows.table.replace("_", " ")
            yield f"{name}: {rows.now} now, {rows.in_copy} in the copy ({', '.join(told)})"


def _acts(acts: "ActsApart", words: str) -> Iterator[str]:
    yield f"{words}{':' if acts.newest else '.'}"
    for act in acts.newest:
        yield f"- {_act(act)}"
    if acts.acts > len(acts.newest):
        yield f"- and {acts.acts - len(acts.newest)} before these"


def _are(count: int, be: str) -> str:
    return "are" if be == "is" and count != 1 else be


def _act(act: "ActTold | None") -> str:
    return "none" if act is None else f"{act.at_utc[:16].replace('T', ' ')} UTC {act.sentence}"


def add_restore(app: typer.Typer) -> None:
    """Put the command among those of the database."""
    command(app, "restore", show=show_restore)(restore)


def restore(
    state: State, now: datetime, copy: Copy = None, only_look: OnlyLook = False, yes: Yes = False
) -> "GoingBack":
    """Go back to a copy, after saying what is lost.

    All that came on record after the copy was made is lost from the database; the file of now is kept under a
    name with the time in it. A slip of the last minutes is better taken back with obslog undo.

    obslog db restore club-copy.db --look
    """
    from obslog.records.care.copies_before import newest_copy
    from obslog.records.care.going_back import go_back, look_back
    from obslog.records.engine import is_url

    if is_url(state.target):
        raise ServerRestore
    database = Path(state.target)
    if copy is None:
        raise NoCopyNamed(database, newest_copy(database, folder_of_copies(state)))
    if only_look or not yes:
        ahead = look_back(database, copy, make_folder=state.own_place)
        if only_look:
            return ahead
        for line in _told(ahead):
            state.screen.note(line, hang=2)
        ask_first(
            state.screen,
            "Going back to a copy",
            f"Put {copy} in the place of {database}?",
            can_be_undone=True,
        )
    shared = bool(state.environment.get("OBSLOG_SHARED", "").strip())
    return go_back(database, copy, now, shared=shared, make_folder=state.own_place)
