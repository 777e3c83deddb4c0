"""Which kit to lend next, to whom."""

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import Officer
from obslog.cli.terminal.screen import Screen
from obslog.english import counted

if TYPE_CHECKING:
    from obslog.club.review.lending_advice import AdviceFor, NextLoan
    from obslog.records.database import Database

NO_KITS = "No kits on record: obslog kit add --help"


def add_to(app: typer.Typer) -> None:
    command(app, "advise", show=show_advice)(advise)


def show_advice(screen: Screen, found: "AdviceFor | Sequence[NextLoan]") -> None:
    from obslog.club.review.lending_advice import AdviceFor

    if isinstance(found, AdviceFor):
        _show_for_member(screen, found)
    else:
        _show_next(screen, found)


def advise(
    database: "Database",
    now: datetime,
    member: Annotated[
        str | None, typer.Argument(help="The borrower.", show_default="to whom each kit goes next")
    ] = None,
    officer: Officer = False,
) -> "AdviceFor | Sequence[NextLoan]":
    """Advise which kit to lend, and to whom.

    obslog loan advise Noor

    By experience, aperture, weight, the review, and who waits. The limits for beginners are rules of the club.

    obslog rule list
    """
    from obslog.club.register.club_day import club_day
    from obslog.club.review.lending_advice import advise_for, next_loans

    if member is not None:
        return advise_for(database, member, club_day(database, now))
    return next_loans(database, club_day(database, now), with_names=officer)


def _show_for_member(screen: Screen, advice: "AdviceFor") -> None:
    beginner = ", a beginner by the club's rules" if advice.beginner else ""
    screen.line(f"{advice.member}: {counted(advice.setups, 'set-up')} on record{beginner}", style="bold")
    if not advice.kits:
        screen.note(NO_KITS)
        return
    for kit in advice.kits:
        size = f", {kit.aperture_mm:g} mm" if kit.aperture_mm else ""
        weight = f", {kit.weight_kg:g} kg" if kit.weight_kg else ""
        screen.line(f"{kit.fit}: {kit.kit}{size}{weight}")
        _show_reasons(screen, kit.reasons)


def _show_next(screen: Screen, loans: "Sequence[NextLoan]") -> None:
    if not loans:
        screen.note(NO_KITS)
        return
    for loan in loans:
        screen.line(f"{loan.kit}: {_who_is_next(loan)}")
        _show_reasons(screen, loan.reasons)
    screen.note("For one borrower: obslog loan advise MEMBER")


def _who_is_next(loan: "NextLoan") -> str:
    """How many wait, and whether to lend to the first of them; who that is where they are named."""
    if not loan.waiting:
        return "nobody waits"
    waits = f"{loan.waiting} wait{'s' if loan.waiting == 1 else ''}"
    return f"{waits}; next {loan.member or 'the first in the list'}: {loan.fit}"


def _show_reasons(screen: Screen, reasons: Sequence[str]) -> None:
    for reason in reasons:
        screen.line(reason, indent=4)
