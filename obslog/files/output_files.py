"""What goes wrong with a file that a person asked to have written, in sentences that say what to do.

Of the club's own file speaks `driver_errors`: there the remedies are others.
"""

import errno
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from obslog.errors import ObslogError, WrongInput


class FileThere(ObslogError):
    def __init__(self, path: Path) -> None:
        super().__init__(f"{path} is there already.", "Name another file; nothing was overwritten.")


class NoFolderThere(WrongInput):
    def __init__(self, folder: Path) -> None:
        super().__init__(
            f"There is no folder {folder}.", "Make it first, or name a file in one that is there."
        )


# ERROR_ACCESS_DENIED, ERROR_SHARING_VIOLATION and ERROR_LOCK_VIOLATION: so Windows answers for a file that is open.
_MAYBE_OPEN = (5, 32, 33)


class OutputNotWritable(ObslogError):
    """What may not be written; with `or_open` it is there, and another program may have it open."""

    def __init__(self, path: Path, *, or_open: bool = False) -> None:
        close = "Close it where it is open, such as in a spreadsheet or a viewer, then try again. Else: name"
        super().__init__(
            f"{path} may not be written.", f"{close if or_open else 'Name'} a file in a folder of your own."
        )


class NoRoomForOutput(ObslogError):
    def __init__(self, path: Path) -> None:
        super().__init__(f"There is no room left for {path}.", "Free some space on the disk, then try again.")


class OutputNotWritten(ObslogError):
    def __init__(self, path: Path, why: str) -> None:
        super().__init__(f"{path} cannot be written: {why}.", "Name another file or folder.")


@contextmanager
def output_in_sentences(path: Path) -> Iterator[None]:
    """Turn what the file system complains of, while `path` is looked at or written, into one of our errors."""
    try:
        yield
    except OSError as error:
        raise _explained(error, path) from error


def _explained(error: OSError, path: Path) -> ObslogError:
    if isinstance(error, FileExistsError):
        return FileThere(path)
    if isinstance(error, PermissionError) or error.errno == errno.EROFS:
        return OutputNotWritable(path, or_open=_may_be_open(error, path))
    if error.errno in (errno.ENOSPC, errno.EDQUOT):
        return NoRoomForOutput(path)
    if isinstance(error, FileNotFoundError | NotADirectoryError) and not _is_folder(path.parent):
        return NoFolderThere(path.parent)
    return OutputNotWritten(path, (error.strerror or str(error)).lower())


def _may_be_open(error: OSError, path: Path) -> bool:
    with suppress(OSError):
        return getattr(error, "winerror", None) in _MAYBE_OPEN and path.exists()
    return False


def _is_folder(path: Path) -> bool:
    try:
        return path.is_dir()
    except OSError:
        return False
