"""A club's own sheets in and out: members, items, kits, loans, services and observations."""

from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import AsJson, Officer
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.english import counted
from obslog.errors import WrongInput, quoted
from obslog.exchange.arrivals_rows import Fault, LineOrRow, grouped
from obslog.exchange.spreadsheets.cell_dates import DateOrder

if TYPE_CHECKING:
    from typing_extensions import TypeIs

    from obslog.club.bring_in.bring_in import TakenIn
    from obslog.club.bring_in.intake import RowOutcome
    from obslog.exchange.spreadsheets.columns import SheetKind

KINDS = {
    "members": "member",
    "items": "item",
    "kits": "kit",
    "loans": "loan",
    "services": "service",
    "observations": "observation",
}
"""The kinds of sheets, with the word for one row of each."""
OBSERVATIONS = "observations"
File = Annotated[Path | None, typer.Argument(help="The sheet, CSV or .xlsx.", show_default=False)]
Look = Annotated[bool, typer.Option("--look", help="Show what each row would do, and change nothing.")]
Dates = Annotated[
    DateOrder | None,
    typer.Option("--dates", help="How 3/4/2026 is meant.", show_default="as the column shows"),
]
WhichSheet = Annotated[
    str | None, typer.Option("--sheet", help="Which sheet of a workbook.", show_default="the only one")
]
Columns = Annotated[bool, typer.Option("--columns", help="Show the columns, and what they may be called.")]
Blank = Annotated[
    Path | None, typer.Option("--blank", help="Write a sheet with heads and an example.", show_default=False)
]


class NoSheetNamed(WrongInput):
    def __init__(self, rows_of: str) -> None:
        super().__init__(
            "No sheet is named.",
            f"Name it: obslog import {rows_of} FILE, or see what its columns may be called: "
            f"obslog import {rows_of} --columns",
        )


def add_to(imports: typer.Typer, exports: typer.Typer) -> None:
    """Put these commands among those that import and export; observations, which are logs too, have their own."""
    for rows_of in KINDS:
        if rows_of == OBSERVATIONS:
            continue
        _add_import(imports, rows_of)
        _add_export(exports, rows_of)


def _add_import(app: typer.Typer, rows_of: str) -> None:
    def bring_in(
        state: State,
        now: datetime,
        file: File = None,
        look: Look = False,
        dates: Dates = None,
        sheet: WhichSheet = None,
        columns: Columns = False,
        blank: Blank = None,
    ) -> "TakenIn | SheetKind | Path":
        if columns or blank is not None:
            return columns_or_blank(rows_of, blank)
        return take_sheet(state, now, rows_of, file, look=look, dates=dates, sheet=sheet)

    bring_in.__doc__ = f"""Bring in {rows_of} from the club's own sheet.

    Whole or not at all; a second time adds nothing, and one undo takes all of it back. Look first: --look.

    obslog import {rows_of} {rows_of}.xlsx --look
    """
    command(app, rows_of, show=shown(rows_of), document=document)(bring_in)


def columns_or_blank(rows_of: str, blank: Path | None) -> "SheetKind | Path":
    """The columns of a sheet; or a blank one, written where it was asked for."""
    from obslog.exchange.spreadsheets.columns import kinds

    if blank is None:
        return kinds()[rows_of]
    from obslog.club.bring_in.give_out import write_blank_to

    write_blank_to(blank, rows_of)
    return blank


def take_sheet(
    state: State,
    now: datetime,
    rows_of: str,
    file: Path | None,
    *,
    look: bool,
    dates: DateOrder | None,
    sheet: str | None,
) -> "TakenIn":
    """Bring a sheet in, or look at it. Raises NoSheetNamed."""
    if file is None:
        raise NoSheetNamed(rows_of)
    from obslog.club.bring_in.bring_in import bring_in

    with state.database() as database:
        return bring_in(database, rows_of, file, now, look=look, order=dates, worksheet=sheet)


def _add_export(app: typer.Typer, rows_of: str) -> None:
    def give_out(
        state: State,
        file: Annotated[
            Path | None, typer.Argument(help="The file, .csv or .xlsx.", show_default="standard output")
        ] = None,
        officer: Officer = False,
        as_json: AsJson = False,
    ) -> None:
        from obslog.club.bring_in.give_out import gone_from_sheet, sheet_rows

        with state.database() as database:
            rows, gone = sheet_rows(database, rows_of, officer=officer), gone_from_sheet(database, rows_of)
        give_sheet(state, rows_of, rows, file, as_json=as_json)
        if gone and not as_json:
            state.screen.note(f"Left out: {counted(gone, KINDS[rows_of])} retired or written off.")

    give_out.__doc__ = f"""Export {rows_of} as a sheet to bring in again.

    obslog export {rows_of} {rows_of}.csv{" --officer" if rows_of == "loans" else ""}
    """
    command(app, rows_of)(give_out)


def give_sheet(
    state: State, rows_of: str, rows: list[dict[str, Any]], file: Path | None, *, as_json: bool
) -> None:
    """Give rows out: as one document, as CSV on standard output, or into a file."""
    from obslog.club.bring_in.give_out import sheet_as_csv, write_sheet_to

    if as_json:
        state.screen.json(rows)
    elif file is None:
        with state.screen.raw_output() as out:
            out.write(sheet_as_csv(rows_of, rows))
    else:
        count = write_sheet_to(file, rows_of, rows)
        state.screen.note(f"{counted(count, KINDS[rows_of])} written to {file}")


def _is_kind(found: "TakenIn | SheetKind") -> "TypeIs[SheetKind]":
    """Whether these are the columns that were asked for."""
    return hasattr(found, "columns")


def document(found: "TakenIn | SheetKind | Path") -> Any:
    if isinstance(found, Path):
        return {"written": str(found)}
    if _is_kind(found):
        return [
            {
                "column": column.name,
                "needed": column.needed,
                "holds": column.holds_words,
                "meaning": column.meaning,
                "also": list(column.also),
            }
            for column in found.columns
        ]
    return found


def shown(rows_of: str) -> Callable[[Screen, "TakenIn | SheetKind | Path"], None]:
    def show(screen: Screen, found: "TakenIn | SheetKind | Path") -> None:
        if isinstance(found, Path):
            screen.note(
                f"Written: {found}. Fill it in, then look: obslog import {rows_of} {quoted(str(found))} --look"
            )
        elif _is_kind(found):
            _show_columns(screen, found)
        else:
            _show_outcome(screen, rows_of, found)

    return show


def _show_columns(screen: Screen, rows_of: "SheetKind") -> None:
    screen.line(f"A sheet of {rows_of.name}: {rows_of.lists}.", style="bold")
    screen.table(
        ["column", "needed", "holds", "meaning", "may also be called"],
        [
            [c.name, "yes" if c.needed else "", c.holds_words, c.meaning, ", ".join(c.also)]
            for c in rows_of.columns
        ],
    )
    screen.note("Capitals, accents and the order of the columns do not matter; other columns are left out.")


def _show_outcome(screen: Screen, rows_of: str, found: "TakenIn") -> None:
    """What came of it; each row where it was only looked at."""
    if found.looked_only:
        show_rows(screen, "row", KINDS[rows_of], found.rows, found.faults)
    would = "would be " if found.looked_only else ""
    screen.line(
        f"{found.sheet}: {counted(found.new, KINDS[rows_of])} {would}new, {found.changed} {would}changed; "
        f"{found.same} on record as {'it is' if found.same == 1 else 'they are'}."
    )
    for head, near in found.left_out.items():
        meant = f" Is it meant to be {near!r}?" if near else ""
        screen.note(f"Left out: the column {head!r}.{meant}", hang=2)
    if found.looked_only:
        show_nothing_changed(screen, "row", found.faults)
    elif rows_of == "items" and found.new:
        screen.note("What is still to be told of them, and with which command: obslog officer health")


def show_rows(
    screen: Screen, place: LineOrRow, what: str, rows: "Sequence[RowOutcome]", faults: Sequence[Fault]
) -> None:
    """What would come of each row of a sheet, and what is wrong in them."""
    screen.table([place, what, "is", "with"], [[r.line, r.what, r.outcome, r.words] for r in rows])
    for line in grouped(faults, place):
        screen.line(line, hang=2)


def show_nothing_changed(screen: Screen, place: LineOrRow, faults: Sequence[Fault]) -> None:
    """What to do after a look: put the rows with faults right, or bring it in."""
    wrong = len({fault.line for fault in faults})
    screen.note(
        f"Nothing was changed, and nothing can be before {counted(wrong, place)} "
        f"{'is' if wrong == 1 else 'are'} put right."
        if wrong
        else "Nothing was changed. The same command without --look brings it in."
    )
