"""The letter of thanks for a gift."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import KindOption, Template, WriteTemplate
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.cli.terminal.template_written import is_template, show_template, written_or_done
from obslog.errors import WrongInput
from obslog.vocabulary.storeroom import Condition

if TYPE_CHECKING:
    from obslog.club.office.gifts import Gift


class NoGiftNamed(WrongInput):
    def __init__(self) -> None:
        super().__init__("No item is named.", 'Name what was given: obslog officer thanks "Legacy seven"')


class NotGiven(WrongInput):
    def __init__(self) -> None:
        super().__init__("What is missing was not received.", "Give the condition good, worn or damaged.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Thanked:
    """The letter, what it tells of, and the file into which it was written."""

    gift: "Gift"
    subject: str
    text: str
    file: str | None


def show_thanks(screen: Screen, found: "Thanked | Path") -> None:
    if is_template(found):
        show_template(screen, found, "officer thanks")
        return
    if found.file is not None:
        screen.note(f"Written: {found.file}")
        return
    screen.line(found.subject, style="bold")
    screen.line()
    for line in found.text.splitlines():
        screen.line(line)


def add_thanks(app: typer.Typer) -> None:
    """Put the command among the officer's."""
    command(app, "thanks", show=show_thanks, document=written_or_done)(thanks)


def thanks(
    state: State,
    now: datetime,
    item: Annotated[str | None, typer.Argument(help="The item that was given.", show_default=False)] = None,
    donor: Annotated[str | None, typer.Option("--to", help="Who gave it.")] = None,
    condition: Annotated[
        Condition | None, typer.Option("--condition", help="In what condition it came.")
    ] = None,
    value: Annotated[bool, typer.Option("--value", help="Also say what the club values it at.")] = False,
    out: Annotated[
        Path | None, typer.Option("--out", help="The file to write.", show_default="the screen")
    ] = None,
    template: Template = None,
    write_template: WriteTemplate = None,
    kind: KindOption = None,
) -> "Thanked | Path":
    """Write a letter of thanks for an item given.

    It says what the item is, when it came and in what condition; what the club values it at only with --value.
    About taxes it says nothing but that local rules decide. The file can be read by you alone.

    obslog officer thanks Heron --to "Wilma Ost" --condition good --out thanks.txt
    """
    from obslog.club.register.club_day import club_day
    from obslog.report.reminding import thanks as letters

    if write_template is not None:
        letters.write_thanks_template(write_template)
        return write_template
    if item is None:
        raise NoGiftNamed
    if condition is Condition.MISSING:
        raise NotGiven
    from obslog.club.office.gifts import gift_of

    with state.database() as database:
        gift = gift_of(database, item, kind=kind, donor=donor, condition=condition, with_value=value)
    letter = letters.thanks(template, gift, club_day(database, now))
    if out is not None:
        letters.write_letter(letter, out)
    return Thanked(
        gift=gift, subject=letter.subject, text=letter.text, file=str(out) if out is not None else None
    )
