"""The command that says how output looks here, and keeps how it is to look from now on."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

import typer

from obslog.cli.look.look import PLAIN, RED, USUAL, Look
from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State


class KeptLook(StrEnum):
    USUAL = USUAL
    RED = RED
    PLAIN = PLAIN


Wanted = Annotated[
    KeptLook | None,
    typer.Argument(metavar="LOOK", help="usual, red or plain.", show_default="only say how it is"),
]


@dataclass(frozen=True, slots=True, kw_only=True)
class LookHere:
    """How output looks: what is kept, what holds for this command, the terminal's colours, and the pager."""

    kept: str
    red: bool
    plain: bool
    colours: str
    pager: str | None


def add_to(app: typer.Typer) -> None:
    """Put the command among the program's own."""
    command(app, "look", show=show_look)(look)


def show_look(screen: Screen, here: LookHere) -> None:
    screen.fields(
        [
            ("kept", here.kept),
            ("now", _words(here)),
            ("colours", here.colours),
            ("pager", here.pager or "none"),
        ]
    )


def look(state: State, wanted: Wanted = None) -> LookHere:
    """Say how output looks here, or keep how it is to look.

    red is dim red on dark, plain is one fact a line without styles, usual is neither. It is kept on this machine for
    you; --red and --plain come before it, and so do OBSLOG_THEME and OBSLOG_PLAIN.

    obslog look plain
    """
    from obslog.cli.look.pager import pager_words
    from obslog.records.driver_errors import files_in_sentences
    from obslog.settings import keep_look, look_kept, settings_path

    if wanted is not None:
        with files_in_sentences(str(settings_path(state.environment))):
            keep_look(state.environment, None if wanted is KeptLook.USUAL else wanted.value)
    now: Look = state.screen.look
    words = pager_words(state.environment, now)
    return LookHere(
        kept=look_kept(state.environment) or USUAL,
        red=now.is_red,
        plain=now.plain,
        colours=now.depth.value,
        pager=" ".join(words) if words else None,
    )


def _words(here: LookHere) -> str:
    return " and ".join([RED] * here.red + [PLAIN] * here.plain) or USUAL
