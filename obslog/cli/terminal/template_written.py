"""Commands that write a template to a file where that is asked for, and otherwise do their work."""

from pathlib import Path
from typing import TYPE_CHECKING

from obslog.cli.terminal.screen import Screen
from obslog.errors import quoted

if TYPE_CHECKING:
    from typing_extensions import TypeIs


def is_template(found: object) -> "TypeIs[Path]":
    """Whether only the template was written."""
    return isinstance(found, Path)


def written_or_done(found: object) -> object:
    """As JSON has it: the file of the template, or what the command did."""
    return {"written": str(found)} if is_template(found) else found


def show_template(screen: Screen, file: Path, command: str) -> None:
    """Say where the template is, and how the command takes it once it is changed."""
    screen.note(f"Written: {file}. Change it, then: obslog {command} --template {quoted(str(file))}")
