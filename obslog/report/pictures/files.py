"""A picture as a file of its own: with its title, in one step, and never over anything but an earlier picture.

A file that stands there already is written over where this program drew it, so that a picture can be made anew each
month under its name; a photograph of the same name stays.
"""

import errno
import os
from pathlib import Path

from obslog.errors import ObslogError, WrongInput
from obslog.records.atomic_file import replaced_file
from obslog.report.pictures.drawing import FORMATS, MAKER, drawn_alone
from obslog.report.pictures.ink import Ink
from obslog.report.pictures.picture import Picture

_MOST_READ = 20_000_000  # of a file that stands there: a picture of ours is a thousandth of that


class NotAPicturesName(WrongInput):
    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{str(path)!r} is not the name of a picture.", "Name a file that ends in .svg, .png or .pdf."
        )


class NoFolderForPicture(WrongInput):
    def __init__(self, folder: Path) -> None:
        super().__init__(
            f"There is no folder {str(folder)!r}.", "Make it first, or name a file in one that is there."
        )


class AnotherFileThere(WrongInput):
    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{str(path)!r} is there already, and was not drawn by this program.",
            "Name another file, or move that one away.",
        )


class PictureNotWritable(ObslogError):
    def __init__(self, path: Path) -> None:
        super().__init__(
            f"The picture {str(path)!r} may not be written there.", "Name a file in a folder of your own."
        )


class NoRoomForPicture(ObslogError):
    def __init__(self, path: Path) -> None:
        super().__init__(
            f"There is no room left for the picture {str(path)!r}.",
            "Free some space on the disk, then try again.",
        )


class PictureNotWritten(ObslogError):
    def __init__(self, path: Path, why: str) -> None:
        super().__init__(
            f"The picture {str(path)!r} cannot be written: {why.lower()}.", "Name another file or folder."
        )


def check_place(path: Path) -> None:
    """See that a picture can be written there, before any work is done for it.

    Raises NotAPicturesName, NoFolderForPicture, AnotherFileThere, PictureNotWritable.
    """
    if _form(path) not in FORMATS:
        raise NotAPicturesName(path)
    try:
        if not path.parent.is_dir():
            raise NoFolderForPicture(path.parent)
        if not os.access(path.parent, os.W_OK | os.X_OK):
            raise PictureNotWritable(path)
        if path.exists() and not _drawn_here(path):
            raise AnotherFileThere(path)
    except OSError as error:
        raise _explained(error, path) from error


def write_picture(picture: Picture, path: Path, ink: Ink) -> None:
    """Draw the picture into the file, which is there whole or not at all; what `check_place` found still holds.

    Raises NoRoomForPicture, PictureNotWritable, PictureNotWritten.
    """
    content = drawn_alone(picture, _form(path), ink)
    try:
        with replaced_file(path.resolve()) as draft:
            draft.write_bytes(content)
    except OSError as error:
        raise _explained(error, path) from error


def _form(path: Path) -> str:
    return path.suffix.casefold().removeprefix(".")


def _drawn_here(path: Path) -> bool:
    """Whether this program drew what is there; an empty file is nobody's work."""
    if not path.is_file():
        return False
    with path.open("rb") as file:
        content = file.read(_MOST_READ)
    return not content or MAKER.encode() in content


def _explained(error: OSError, path: Path) -> ObslogError:
    if isinstance(error, PermissionError) or error.errno == errno.EROFS:
        return PictureNotWritable(path)
    if error.errno in (errno.ENOSPC, errno.EDQUOT):
        return NoRoomForPicture(path)
    return PictureNotWritten(path, error.strerror or str(error))
