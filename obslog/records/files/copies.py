"""Copies of a database that lie beside it, and in which of them certain words still stand. They are only read."""

import mmap
from collections.abc import Iterable, Iterator
from contextlib import suppress
from pathlib import Path

from sqlalchemy import Engine

from obslog.records.files.cut_short import HEADER


def folder_beside(database: Path) -> Path:
    """The folder of a database's copies where nobody has named one."""
    return database.with_name(f"{database.stem}-copies")


def copies_beside(database: Path) -> Iterator[Path]:
    """The other SQLite files in the folder of a database and in that of its copies, by name."""
    place = database.resolve()
    for folder in (place.parent, folder_beside(place)):
        with suppress(OSError):
            for path in sorted(folder.iterdir()):
                if path != place and path.is_file() and _is_sqlite(path):
                    yield path


def _is_sqlite(path: Path) -> bool:
    try:
        with path.open("rb") as file:
            return file.read(len(HEADER)) == HEADER
    except OSError:
        return False


def copies_holding(engine: Engine, texts: Iterable[str]) -> list[str]:
    """The copies beside a database's file in whose bytes any of the texts stands, unused pages too; by name.

    A copy that cannot be read is named as well: it may hold them. On a server there are none beside it.
    """
    place = engine.url.database
    if engine.dialect.name != "sqlite" or not place:
        return []
    sought = [text.encode() for text in texts if text]
    return [str(copy) for copy in copies_beside(Path(place)) if _holds(copy, sought)]


def _holds(path: Path, sought: list[bytes]) -> bool:
    try:
        with path.open("rb") as file, mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as held:
            return any(held.find(text) >= 0 for text in sought)
    except (OSError, ValueError):
        return True
