"""The insurer's list: on the screen, as PDF, as a page, as a CSV sheet."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import Officer
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.errors import WrongInput
from obslog.money import known_money
from obslog.report.forms.paper import PaperSize

if TYPE_CHECKING:
    from obslog.club.office.insurance import InsuranceList, InsuredItem, Total

CSV = ".csv"
Overwrite = Annotated[
    bool, typer.Option("--overwrite", help="Write over a file that is not a sheet of obslog.")
]
OnPaper = Annotated[PaperSize, typer.Option("--paper", help="The paper of a PDF or page.")]


class NoList(WrongInput):
    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{path} is not the name of a list.", "Name a file that ends in .pdf, .html or .csv."
        )


def show_insurance(screen: Screen, found: "InsuranceList", out: Path | None) -> None:
    """The whole list; where it was written into a file, only what it comes to."""
    from obslog.club.office.insurance_form import rules_applied, sentences

    if out is None and found.items:
        several = len(rules_applied(found)) > 1
        down = ["written down to", *(["by the rule for"] if several else [])] if found.depreciates else []
        screen.table(
            ["tag", "item", "made by", "acquired", "cost", "value", "valued", *down, "proof", "where"],
            [_cells(item, found, several=several) for item in found.items],
        )
        screen.line()
    for sentence in sentences(found):
        screen.line(sentence, hang=2)
    if out is None and found.items:
        _show_totals(screen, "place", found.by_place, found)
        _show_totals(screen, "holder", found.by_holder, found)


def _cells(item: "InsuredItem", found: "InsuranceList", *, several: bool) -> list[object]:
    from obslog.club.office.insurance_form import (
        NOT_KNOWN,
        acquired_words,
        applied_words,
        made_words,
        proof_words,
        valued_words,
        written_down_words,
    )

    return [
        item.tag,
        item.name,
        made_words(item) or None,
        acquired_words(item) or None,
        known_money(item.cost, found.currency),
        known_money(item.value, found.currency) or NOT_KNOWN,
        valued_words(item) or None,
        *((written_down_words(item, found.currency),) if found.depreciates else ()),
        *((applied_words(item) or None,) if several else ()),
        proof_words(item) or None,
        item.where,
    ]


def _show_totals(screen: Screen, first: str, totals: "list[Total]", found: "InsuranceList") -> None:
    from obslog.club.office.insurance_form import total_heads, total_rows

    screen.line()
    screen.table(total_heads(first, found), total_rows(totals, found))


def add_insurance(app: typer.Typer) -> None:
    """Put the command among the officer's."""
    command(app, "insurance", show=show_insurance)(insurance)


def insurance(
    state: State,
    out: Annotated[
        Path | None,
        typer.Option("--out", help="FILE.pdf, FILE.html or FILE.csv.", show_default="the screen"),
    ] = None,
    paper: OnPaper = PaperSize.A4,
    overwrite: Overwrite = False,
    officer: Officer = False,
) -> "InsuranceList":
    """List what the club has for its insurer.

    Each item in use with what it is worth, of which day that value is, its photographs and receipts by their
    SHA-256, and where it is; totals by place and holder. What is not known is counted, never added as nothing.
    Holders and valuers are named only with --officer. A file can be read by you alone.

    obslog officer insurance --out insurance.pdf --officer
    """
    from obslog.club.office.insurance import insurance_list
    from obslog.club.register.club_day import club_day

    if out is not None:
        _check(out, overwrite)
    with state.database() as database:
        found = insurance_list(database, club_day(database, state.now()), with_names=officer)
    if out is not None:
        _write(found, out, paper, overwrite)
        state.screen.note(f"Written: {out}")
    return found


def _check(out: Path, overwrite: bool) -> None:
    from obslog.club.office.insurance_sheet import SheetThere
    from obslog.report.forms.printed import NoSheet, refuse_another_file

    if out.suffix.casefold() == CSV:
        if out.exists() and not overwrite:
            raise SheetThere(out)
        return
    try:
        refuse_another_file(out, overwrite=overwrite)
    except NoSheet:
        raise NoList(out) from None


def _write(found: "InsuranceList", out: Path, paper: PaperSize, overwrite: bool) -> None:
    from obslog.club.office.insurance_form import insurance_form
    from obslog.club.office.insurance_sheet import write_insurance_csv
    from obslog.report.forms.printed import put_sheet

    if out.suffix.casefold() == CSV:
        write_insurance_csv(found, out, overwrite=overwrite)
    else:
        put_sheet(insurance_form(found), out, paper, private=True)
