"""Putting a new file in its place as a whole: no other program, and nobody after a power cut, ever meets half of it."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from obslog.records.files.private_files import make_private


@contextmanager
def whole_file(place: Path, *, private: bool = False) -> Iterator[Path]:
    """A draft beside `place`, to be written and closed; it then takes its place, but never that of another file.

    A `private` one can be read by its owner alone; so can any draft, for its folder is closed to others.
    Raises FileExistsError where there is a file already, however late it came.
    """
    with TemporaryDirectory(dir=place.parent, prefix=f".{place.name}-") as folder:
        draft = Path(folder) / place.name
        yield draft
        if private:
            make_private(draft)
        try:
            os.link(draft, place)
        except FileExistsError:
            raise
        except OSError:  # some file systems, such as those of memory sticks, know no second name for a file
            if place.exists():
                raise FileExistsError(place) from None
            draft.rename(place)


@contextmanager
def replaced_file(place: Path, *, private: bool = False) -> Iterator[Path]:
    """A draft beside `place`, to be written and closed; it then takes its place, whatever stands there.

    A `private` one can be read by its owner alone.
    """
    with TemporaryDirectory(dir=place.parent, prefix=".new-") as folder:
        draft = Path(folder) / place.name
        yield draft
        if private:
            make_private(draft)
        draft.replace(place)
