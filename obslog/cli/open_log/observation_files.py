"""Observations out and in: as a sheet, CSV or .xlsx, or as a log in the open schema OpenAstronomyLog, .xml."""

from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from obslog.cli.club_sheets import (
    OBSERVATIONS,
    Blank,
    Columns,
    Dates,
    Look,
    WhichSheet,
    columns_or_blank,
    document,
    give_sheet,
    show_nothing_changed,
    show_rows,
    shown,
    take_sheet,
)
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import AsJson, NightOption, SiteOption, day
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.english import counted
from obslog.errors import WrongInput

if TYPE_CHECKING:
    from typing_extensions import TypeIs

    from obslog.club.bring_in.bring_in import TakenIn
    from obslog.club.open_log.log_in import LogTakenIn
    from obslog.exchange.spreadsheets.columns import SheetKind

    Found = TakenIn | SheetKind | Path | LogTakenIn

_LANGUAGE_LETTERS = 2
_shown_sheet = shown(OBSERVATIONS)


class NotALanguage(WrongInput):
    def __init__(self, text: str) -> None:
        super().__init__(
            f"{text!r} is not a language in two letters.", "Write it after ISO 639, like en, de or fr."
        )


class OnlyForLogs(WrongInput):
    def __init__(self, option: str) -> None:
        super().__init__(f"{option} is for a log alone.", "Name a file that ends in .xml, or leave it out.")


class OnlyForSheets(WrongInput):
    def __init__(self, option: str) -> None:
        super().__init__(
            f"{option} is for a sheet alone.", "Name a file that ends in .csv or .xlsx, or leave it out."
        )


def _language(text: str) -> str:
    if len(text) != _LANGUAGE_LETTERS or not (text.isascii() and text.isalpha()):
        raise NotALanguage(text)
    return text.lower()


InLanguage = Annotated[
    str | None,
    typer.Option(
        "--language",
        help="Of a log: which results are taken where it has several, like en.",
        parser=_language,
    ),
]
OutLanguage = Annotated[
    str | None,
    typer.Option("--language", help="Of a log: the language of the words, like en.", parser=_language),
]


def add_to(imports: typer.Typer, exports: typer.Typer) -> None:
    """Put these commands among those that import and export."""
    command(imports, OBSERVATIONS, show=_show, document=_document)(import_observations)
    command(exports, OBSERVATIONS)(export_observations)


def import_observations(
    state: State,
    now: datetime,
    file: Annotated[
        Path | None, typer.Argument(help="The sheet, CSV or .xlsx, or the log, .xml.", show_default=False)
    ] = None,
    look: Look = False,
    dates: Dates = None,
    sheet: WhichSheet = None,
    columns: Columns = False,
    blank: Blank = None,
    language: InLanguage = None,
) -> "Found":
    """Bring in observations: a sheet, or an open log.

    A file that ends in .xml is a log in the open schema OpenAstronomyLog; what it names and is not on record is made.
    Whole or not at all; a second time adds nothing, and one undo takes all of it back. Look first: --look.

    obslog import observations observations.xml --look
    """
    if columns or blank is not None:
        return columns_or_blank(OBSERVATIONS, blank)
    if file is None or not _is_log(file):
        if language is not None:
            raise OnlyForLogs("--language")
        return take_sheet(state, now, OBSERVATIONS, file, look=look, dates=dates, sheet=sheet)
    for given, option in ((dates, "--dates"), (sheet, "--sheet")):
        if given is not None:
            raise OnlyForSheets(option)
    from obslog.club.open_log.log_in import bring_in_log

    with state.database() as database:
        return bring_in_log(database, file, now, look=look, language=language)


def export_observations(
    state: State,
    file: Annotated[
        Path | None, typer.Argument(help="The file, .csv, .xlsx or .xml.", show_default="standard output")
    ] = None,
    member: Annotated[str | None, typer.Option("--member", help="Whose observations.")] = None,
    site: SiteOption = None,
    night: NightOption = None,
    first: Annotated[date | None, day("--from", help="The first night.")] = None,
    last: Annotated[date | None, day("--to", help="The last night.")] = None,
    exact: Annotated[
        bool, typer.Option("--exact", help="In a log: places of sites as they are, not to 0.1° and 100 m.")
    ] = False,
    language: OutLanguage = None,
    as_json: AsJson = False,
) -> None:
    """Export observations: a sheet, or an open log.

    A file that ends in .xml becomes a log in the open schema OpenAstronomyLog 2.1.

    obslog export observations observations.xml --member Ines
    """
    from obslog.club.bring_in.observations_out import ObservationChoice

    which = ObservationChoice(observer=member, site=site, night=night, first=first, last=last)
    if file is not None and _is_log(file):
        from obslog.club.open_log.log_out import LogChoice, write_log_to

        choice = LogChoice(which=which, exact=exact, language=language)
        with state.database() as database:
            written = write_log_to(database, file, choice)
        if as_json:
            state.screen.json(written)
            return
        state.screen.note(f"{counted(written.observations, 'observation')} written to {file}")
        for remark in written.remarks:
            state.screen.note(remark, hang=2)
        return
    for given, option in ((exact, "--exact"), (language, "--language")):
        if given:
            raise OnlyForLogs(option)
    from obslog.club.bring_in.give_out import chosen_observations

    with state.database() as database:
        rows = chosen_observations(database, which)
    give_sheet(state, OBSERVATIONS, rows, file, as_json=as_json)


def _is_log(file: Path) -> bool:
    return file.suffix.casefold() == ".xml"


def _is_taken_log(found: "Found") -> "TypeIs[LogTakenIn]":
    return hasattr(found, "made")


def _document(found: "Found") -> Any:
    return found if _is_taken_log(found) else document(found)


def _show(screen: Screen, found: "Found") -> None:
    if not _is_taken_log(found):
        _shown_sheet(screen, found)
        return
    if found.looked_only:
        show_rows(screen, "line", "observation", found.rows, found.faults)
    would = "would be " if found.looked_only else ""
    screen.line(
        f"{found.file}: {counted(found.new, 'observation')} {would}new; "
        f"{found.same} on record as {'it is' if found.same == 1 else 'they are'}."
    )
    if found.made:
        screen.line(
            f"{'Would be new' if found.looked_only else 'New'} on record: {', '.join(found.made)}.", hang=2
        )
    for remark in found.remarks:
        screen.note(remark, hang=2)
    if found.looked_only:
        show_nothing_changed(screen, "line", found.faults)
