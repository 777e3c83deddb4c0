"""Which copies of databases this program has made in a folder: a list beside them, with a fingerprint of each.

A file that is not on the list, or is not any more as it was made, is nobody's to remove: it stays.
"""

import hashlib
import json
import platform
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from pathlib import Path

from obslog.files.atomic_file import onto_the_disk, replaced_file

_PIECE = 1 << 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """A copy on the list: of what database on what machine, when, and the SHA-256 of what was written."""

    file: str
    of: str
    machine: str
    made_utc: str
    sha256: str

    @property
    def at(self) -> datetime:
        return datetime.fromisoformat(self.made_utc)


def made(copy: Path, database: Path, now: datetime) -> Made:
    """The entry of a copy that has just been made."""
    of, machine = _origin(database)
    at = now.astimezone(UTC).isoformat(timespec="seconds")
    return Made(file=copy.name, of=of, machine=machine, made_utc=at, sha256=fingerprint(copy))


def of_database(database: Path, listed: Iterable[Made]) -> list[Made]:
    """The copies of one database, made on this machine."""
    return [one for one in listed if (one.of, one.machine) == _origin(database)]


def _origin(database: Path) -> tuple[str, str]:
    """Which database this is: two laptops may keep their copies in one folder, and each removes its own alone."""
    return str(database.resolve()), platform.node()


def is_as_made(folder: Path, one: Made) -> bool:
    """Whether a copy is there still, byte for byte as it was made."""
    file = folder / one.file
    with suppress(OSError):
        return file.is_file() and not file.is_symlink() and fingerprint(file) == one.sha256
    return False


def remove(folder: Path, past: Iterable[Made]) -> list[Path]:
    """Remove those that are still as they were made; gives what is gone. One that may not be removed stays."""
    removed = []
    for one in past:
        if is_as_made(folder, one):
            with suppress(OSError):
                (folder / one.file).unlink()
                removed.append(folder / one.file)
    if removed:
        with suppress(OSError):  # after a power cut they may be there again, and go another time
            onto_the_disk(folder)
    return removed


def fingerprint(file: Path) -> str:
    """The SHA-256 of a file's bytes."""
    found = hashlib.sha256()
    with file.open("rb") as content:
        while piece := content.read(_PIECE):
            found.update(piece)
    return found.hexdigest()


def read_list(place: Path) -> list[Made]:
    """The copies on a list; none where there is no list, or it cannot be read as one."""
    try:
        listed = [Made(**entry) for entry in json.loads(place.read_text(encoding="utf-8"))]
        return [one for one in listed if one.file == Path(one.file).name and one.at.tzinfo is not None]
    except (OSError, ValueError, TypeError, RecursionError):
        return []


def write_list(place: Path, listed: Iterable[Made]) -> None:
    """Put a list in its place, without the copies that are gone; of two entries of one name the later counts."""
    newest = {one.file: one for one in listed}.values()
    there = [asdict(one) for one in newest if (place.parent / one.file).exists()]
    with replaced_file(place, private=True, lasting=True) as draft:
        draft.write_text(json.dumps(there, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")
