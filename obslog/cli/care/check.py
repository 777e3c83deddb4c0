"""A full check of the database, what can be put right, and what to do about the rest."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.english import counted
from obslog.errors import ObslogError

if TYPE_CHECKING:
    from obslog.club.keeping import KeptCheck
    from obslog.records.care.finding import Finding
    from obslog.records.database import Database

CHECKED_A_DAY = 3
MOST_LINES = 10
Repair = Annotated[
    bool,
    typer.Option(
        "--repair",
        help="Make anew what is made from the records: indexes, search texts and the like; after a copy.",
    ),
]


class NotSound(ObslogError):
    def __init__(self, where: str, grave: int, *, repairable: bool) -> None:
        then = (
            "Mend it, after a copy that this makes itself: obslog db check --repair"
            if repairable
            else "Keep the file as it is, and go back to the newest copy that is sound: obslog db restore"
        )
        super().__init__(f"The database is damaged ({counted(grave, 'grave finding')}): {where}", then)


@dataclass(frozen=True, slots=True, kw_only=True)
class Health:
    """What a check found, the grave of it as `complaints`, a line each; what --repair did, and the copy made before.

    Where nothing grave was found: what became of the kept results that were checked.
    """

    where: str
    complaints: list[str]
    kept: "KeptCheck | None"
    findings: "list[Finding]"
    repaired: list[str]
    copy: Path | None


def document(found: Health) -> dict[str, object]:
    return {
        "complaints": found.complaints,
        "kept": found.kept,
        "findings": found.findings,
        "repaired": found.repaired,
        "copy": found.copy,
    }


def show_health(screen: Screen, found: Health) -> None:
    if found.copy:
        screen.line(f"A copy of the file as it was: {found.copy}")
    for line in found.repaired:
        screen.line(line)
    grave = [one for one in found.findings if one.grave]
    if grave:
        _show(screen, "Grave:", grave)
    else:
        screen.line("No damage found.")
    _show_kept(screen, found.kept)
    _show(screen, "Worth knowing:", [one for one in found.findings if not one.grave])


def _show_kept(screen: Screen, kept: "KeptCheck | None") -> None:
    if kept is None or not kept.computed_again:
        return
    again = counted(kept.computed_again, "kept result")
    if not kept.differ:
        screen.line(f"{again} computed again: no difference.")
        return
    screen.line(f"{again} computed again, and {len(kept.differ)} came out otherwise:")
    for what in kept.differ:
        screen.line(what, indent=2)
    screen.line(
        "All kept results were dropped; they are computed anew when they are needed. No record was touched."
    )


def _show(screen: Screen, heading: str, findings: "list[Finding]") -> None:
    if findings:
        screen.line(heading, style="bold")
    for one in findings:
        screen.line(one.what, indent=2)
        for line in _cases(one):
            screen.line(line, indent=4)
        screen.line(one.advice, indent=4)


def _cases(one: "Finding") -> Iterator[str]:
    """The single cases, or an example of them; what says the same as the finding itself is not said twice."""
    cases = [line for line in one.lines if f"{line}." != one.what]
    if cases:
        yield from cases[:MOST_LINES]
        if len(cases) > MOST_LINES:
            yield f"and {len(cases) - MOST_LINES} more (--json has all)"
    elif one.example and not one.lines:
        yield f"Example: {one.example}"


def refuse_damage(found: Health) -> None:
    grave = [one for one in found.findings if one.grave]
    if grave:
        raise NotSound(found.where, len(grave), repairable=all(one.repairable for one in grave))


def add_check(app: typer.Typer) -> None:
    """Put the command among those of the database."""
    command(app, "check", show=show_health, document=document, then=refuse_damage)(check)


def check(database: "Database", now: datetime, state: State, repair: Repair = False) -> Health:
    """Look for damage in the whole database.

    Damage of the file, records that refer to nothing, values and times that cannot be, tables that are not as this
    version makes them, and a place that is not safe. What was kept of a few mounts, others each day, is computed
    again and compared. The exit code is 1 where something grave was found.

    obslog db check
    """
    from obslog.records.care.checking import look_through
    from obslog.records.care.mending import mend

    shared = bool(state.environment.get("OBSLOG_SHARED", "").strip())
    findings = look_through(database, now, shared=shared)
    repaired: list[str] = []
    copy = None
    if repair:
        mended = mend(database, findings, now, shared=shared)
        repaired, copy = mended.done or ["Nothing was found that this can mend."], mended.copy
        findings = look_through(database, now, shared=shared) if mended.done else findings
    grave = [one for one in findings if one.grave]
    return Health(
        where=database.where,
        complaints=[line for one in grave for line in one.lines or [one.what]],
        kept=None if grave else _kept(database, now),
        findings=findings,
        repaired=repaired,
        copy=copy,
    )


def _kept(database: "Database", now: datetime) -> "KeptCheck":
    """Compute again what is kept of a few mounts, others each day."""
    from obslog.club.keeping import check_kept, mounts_to_keep

    mounts = mounts_to_keep(database)
    first = now.toordinal() * CHECKED_A_DAY % max(len(mounts), 1)
    return check_kept(database, [*mounts, *mounts][first : first + min(CHECKED_A_DAY, len(mounts))])
