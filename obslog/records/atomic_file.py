"""Putting a new file in its place as a whole: no other program, and nobody after a power cut, ever meets half of it."""

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from tempfile import TemporaryDirectory

from obslog.records.files.private_files import make_private


@contextmanager
def whole_file(place: Path, *, private: bool = False, lasting: bool = False) -> Iterator[Path]:
    """A draft beside `place`, to be written and closed; it then takes its place, but never that of another file.

    A `private` one can be read by its owner alone; so can any draft, for its folder is closed to others. A `lasting`
    one is on the disk itself, under its name, when this ends: a power cut after it takes nothing away.
    Raises FileExistsError where there is a file already, however late it came.
    """
    with TemporaryDirectory(dir=place.parent, prefix=f".{place.name}-") as folder:
        draft = Path(folder) / place.name
        yield draft
        if private:
            make_private(draft)
        if lasting:
            onto_the_disk(draft)
        try:
            os.link(draft, place)
        except FileExistsError:
            raise
        except OSError:  # some file systems, such as those of memory sticks, know no second name for a file
            if place.exists():
                raise FileExistsError(place) from None
            draft.rename(place)
        if lasting:
            onto_the_disk(place.parent)


@contextmanager
def replaced_file(place: Path, *, private: bool = False, lasting: bool = False) -> Iterator[Path]:
    """A draft beside `place`, to be written and closed; it then takes its place, whatever stands there.

    A `private` one can be read by its owner alone; a `lasting` one outlives a power cut, as in `whole_file`.
    """
    with TemporaryDirectory(dir=place.parent, prefix=".new-") as folder:
        draft = Path(folder) / place.name
        yield draft
        if private:
            make_private(draft)
        if lasting:
            onto_the_disk(draft)
        draft.replace(place)
        if lasting:
            onto_the_disk(place.parent)


def onto_the_disk(path: Path) -> None:
    """Wait until a file, or the names in a folder, are on the disk itself.

    Raises OSError where the disk refuses. A folder of a file system that knows no such order is passed by.
    """
    if not path.is_dir():
        with path.open("rb") as file:
            os.fsync(file.fileno())
        return
    with suppress(PermissionError):  # Windows opens no folder, and writes its names at once
        folder = os.open(path, os.O_RDONLY)
        try:
            with suppress(OSError):
                os.fsync(folder)
        finally:
            os.close(folder)
