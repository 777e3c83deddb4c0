"""A picture as a file of its own: with its title, in one step, and never over anything but an earlier picture.

A file that stands there already is written over where this program drew it, so that a picture can be made anew each
month under its name; a photograph of the same name stays.
"""

import os
from pathlib import Path

from obslog.errors import WrongInput
from obslog.files.atomic_file import replaced_file
from obslog.files.output_files import NoFolderThere, OutputNotWritable, output_in_sentences
from obslog.report.pictures.drawing import FORMATS, MAKER, drawn_alone
from obslog.report.pictures.ink import Ink
from obslog.report.pictures.picture import Picture

_MOST_READ = 20_000_000  # of a file that stands there: a picture of ours is a thousandth of that


class NotAPicturesName(WrongInput):
    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{str(path)!r} is not the name of a picture.", "Name a file that ends in .svg, .png or .pdf."
        )


class AnotherFileThere(WrongInput):
    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{str(path)!r} is there already, and was not drawn by this program.",
            "Name another file, or move that one away.",
        )


def check_place(path: Path) -> None:
    """See that a picture can be written there, before any work is done for it.

    Raises NotAPicturesName, NoFolderThere, AnotherFileThere, OutputNotWritable.
    """
    if _form(path) not in FORMATS:
        raise NotAPicturesName(path)
    with output_in_sentences(path):
        if not path.parent.is_dir():
            raise NoFolderThere(path.parent)
        if not os.access(path.parent, os.W_OK | os.X_OK):
            raise OutputNotWritable(path)
        if path.exists() and not _drawn_here(path):
            raise AnotherFileThere(path)


def write_picture(picture: Picture, path: Path, ink: Ink) -> None:
    """Draw the picture into the file, which is there whole or not at all; what `check_place` found still holds.

    Raises what `output_in_sentences` raises.
    """
    content = drawn_alone(picture, _form(path), ink)
    with output_in_sentences(path), replaced_file(path.resolve()) as draft:
        draft.write_bytes(content)


def _form(path: Path) -> str:
    return path.suffix.casefold().removeprefix(".")


def _drawn_here(path: Path) -> bool:
    """Whether this program drew what is there; an empty file is nobody's work."""
    if not path.is_file():
        return False
    with path.open("rb") as file:
        content = file.read(_MOST_READ)
    return not content or MAKER.encode() in content
