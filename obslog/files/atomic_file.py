"""Putting a new file in its place as a whole: no other program, and nobody after a power cut, ever meets half of it."""

import os
import shutil
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from secrets import token_hex
from tempfile import mkdtemp

from obslog.files.private_files import FOLDER, make_private

ON_WINDOWS = sys.platform == "win32"
_PAUSES_S = (0.05, 0.1, 0.2, 0.4, 0.8)
_wait = time.sleep


@contextmanager
def whole_file(place: Path, *, private: bool = False, lasting: bool = False) -> Iterator[Path]:
    """A draft beside `place`, to be written and closed; it then takes its place, but never that of another file.

    A `private` one can be read by its owner alone; so can any draft, for its folder is closed to others. A `lasting`
    one is on the disk itself, under its name, when this ends: a power cut after it takes nothing away.
    Raises FileExistsError where there is a file already, however late it came.
    """
    with _folder_beside(place, private=private) as folder:
        draft = folder / f"new{place.suffix}"
        yield draft
        _finish(draft, private=private, lasting=lasting)
        try:
            os.link(draft, place)
        except FileExistsError:
            raise
        except OSError:  # some file systems, such as those of memory sticks, know no second name for a file
            if place.exists():
                raise FileExistsError(place) from None
            moved(draft, place, Path.rename)
        if lasting:
            onto_the_disk(place.parent)


@contextmanager
def replaced_file(place: Path, *, private: bool = False, lasting: bool = False) -> Iterator[Path]:
    """A draft beside `place`, to be written and closed; it then takes its place, whatever stands there.

    A `private` one can be read by its owner alone; a `lasting` one outlives a power cut, as in `whole_file`.
    """
    with _folder_beside(place, private=private) as folder:
        draft = folder / f"new{place.suffix}"
        yield draft
        _finish(draft, private=private, lasting=lasting)
        moved(draft, place, Path.replace)
        if lasting:
            onto_the_disk(place.parent)


def _finish(draft: Path, *, private: bool, lasting: bool) -> None:
    if private:
        make_private(draft)
    if lasting:
        onto_the_disk(draft)


@contextmanager
def whole_folder(place: Path) -> Iterator[Path]:
    """A draft folder beside `place`, to be filled, closed to all but its owner; it then takes its place.

    Raises FileExistsError where something is there already, however late it came.
    """
    with _folder_beside(place, private=True) as above:
        draft = above / "new"
        draft.mkdir(mode=FOLDER)
        yield draft
        if place.exists():  # or an empty folder would give way
            raise FileExistsError(place)
        moved(draft, place, Path.rename)


@contextmanager
def _folder_beside(place: Path, *, private: bool) -> Iterator[Path]:
    """A folder for a draft, with short names, for a path may hold no more than 259 characters on Windows.

    What has come into its place counts as made, also where the folder cannot be taken away again: there a scanner may
    hold the draft open, and a failing disk may refuse. `db check` tells of what is left.
    """
    beside = place.absolute().parent
    folder = _open_folder(beside) if ON_WINDOWS and not private else Path(mkdtemp(dir=beside, prefix=".new-"))
    try:
        yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _open_folder(beside: Path) -> Path:
    """A folder with the rights of the one above it, as Windows gives them; one of `mkdtemp` is its owner's alone.

    There a file that is moved on the same disk keeps the rights that it got in the folder where it was made: a page in
    a folder that the club shares could be opened by nobody else. Sources: Python's documentation of `os.mkdir` (3.12.4:
    a mode of 0o700); Microsoft's "How permissions are handled when you copy and move files and folders".
    """
    while True:
        folder = beside / f".new-{token_hex(4)}"
        with suppress(FileExistsError):
            folder.mkdir()
            return folder


def moved(old: Path, new: Path, move: Callable[[Path, Path], object]) -> None:
    """Move a file or folder; on Windows it is tried a few times, for a scanner may have either open for a moment."""
    for pause in _PAUSES_S if ON_WINDOWS else ():
        try:
            move(old, new)
            return
        except PermissionError:
            _wait(pause)
    move(old, new)


def onto_the_disk(path: Path) -> None:
    """Wait until a file, or the names in a folder, are on the disk itself.

    Raises OSError where the disk refuses. A folder of a file system that knows no such order is passed by.
    """
    if not path.is_dir():
        # Windows lets only those who may write ask for it; elsewhere the right to read is enough.
        with path.open("r+b" if ON_WINDOWS else "rb") as file:
            _flush(file.fileno())
        return
    with suppress(PermissionError):  # Windows opens no folder, and writes its names at once
        folder = os.open(path, os.O_RDONLY)
        try:
            with suppress(OSError):
                os.fsync(folder)
        finally:
            os.close(folder)


def _flush(file: int) -> None:
    """Out of the system's memory onto the disk; on macOS out of the drive's own memory too, where fsync leaves it.

    A drive that knows no such order gets the usual one. Source: Apple's manual pages fsync(2), fcntl(2): F_FULLFSYNC.
    """
    if sys.platform == "win32":
        os.fsync(file)
        return
    import fcntl

    if (order := getattr(fcntl, "F_FULLFSYNC", None)) is not None:
        with suppress(OSError):
            fcntl.fcntl(file, order)
            return
    os.fsync(file)
