"""Copies by date in a folder: each has the time in its name, and of the older ones only some are kept.

What was made here is written down in a list beside the copies, with a fingerprint of each. A file that is not on the
list, or is not any more as it was made, is nobody's to remove: it stays.
"""

import hashlib
import json
import platform
from collections.abc import Callable, Hashable, Iterable
from contextlib import suppress
from dataclasses import asdict, dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from sqlalchemy import Engine

from obslog.fields import NumberField
from obslog.records.atomic_file import onto_the_disk, replaced_file
from obslog.records.care.copying import STAMP, Copied, CopyExists, ServerBackup, back_up
from obslog.records.driver_errors import files_in_sentences
from obslog.records.engine import file_of
from obslog.records.files.private_files import FOLDER, make_private

LIST = "made-copies.json"
COPIES_KEPT = NumberField("The number of copies", 0, 3660, whole=True)
_PIECE = 1 << 20
_A_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Keep:
    """The newest copy of each of the last so many days, weeks and months that have one is kept.

    So are all of a day before the newest: the copy from before a change is not given up for the one from after it.
    """

    days: int = 7
    weeks: int = 5
    months: int = 12

    def check(self) -> None:
        """Raises OutOfRange."""
        for number in (self.days, self.weeks, self.months):
            COPIES_KEPT.check(number)


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """A copy on the list: of what database on what machine, when, and the SHA-256 of what was written."""

    file: str
    of: str
    machine: str
    made_utc: str
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DatedCopy:
    """A copy that was made, the older ones that were removed after it, and how many of this database are kept."""

    copied: Copied
    removed: list[Path]
    kept: int


def folder_beside(path: Path) -> Path:
    """The folder of a database's copies where nobody has named one."""
    return path.with_name(f"{path.stem}-copies")


def back_up_dated(engine: Engine, folder: Path, now: datetime, keep: Keep) -> DatedCopy:
    """Copy a database's file into a folder, made if need be, and then remove what is older than is to be kept.

    A copy of a database that is damaged itself removes nothing, for the last sound one may be among the older, and is
    not put on the list. Raises OutOfRange and what `back_up` raises.
    """
    keep.check()
    path = file_of(engine)
    if path is None:
        raise ServerBackup
    with files_in_sentences(str(folder)):
        if not folder.exists():
            folder.mkdir(mode=FOLDER, parents=True)
            make_private(folder, FOLDER)
    copied = _copy(engine, path, folder, now)
    with files_in_sentences(str(folder)):
        listed = read_list(folder)
        removed: list[Path] = []
        if not copied.damage:
            listed.append(_made(copied.file, path, now))
            _write_list(folder, listed)
            removed = _remove(folder, _past_keeping(_of(path, listed), keep))
            listed = [made for made in listed if (folder / made.file).exists()]
            _write_list(folder, listed)
    return DatedCopy(copied=copied, removed=removed, kept=len(_of(path, listed)))


def _copy(engine: Engine, path: Path, folder: Path, now: datetime) -> Copied:
    name = f"{path.stem}-{now.strftime(STAMP)}"
    for number in range(2, 1000):
        try:
            return back_up(engine, folder / f"{name}{path.suffix}")
        except CopyExists:  # made within the same second
            name = f"{path.stem}-{now.strftime(STAMP)}-{number}"
    raise CopyExists(folder / f"{name}{path.suffix}")


def _made(copy: Path, path: Path, now: datetime) -> Made:
    of, machine = _origin(path)
    at = now.astimezone(UTC).isoformat(timespec="seconds")
    return Made(file=copy.name, of=of, machine=machine, made_utc=at, sha256=fingerprint(copy))


def _origin(path: Path) -> tuple[str, str]:
    """Which database this is: two laptops may keep their copies in one folder, and each removes its own alone."""
    return str(path.resolve()), platform.node()


def _of(path: Path, listed: Iterable[Made]) -> list[Made]:
    return [made for made in listed if (made.of, made.machine) == _origin(path)]


def to_keep(times: Iterable[datetime], keep: Keep) -> set[datetime]:
    """Of the times of copies those that are kept: the newest of each of the last days, weeks and months that have any.

    Days, weeks and months are those of UTC. The newest of all is kept whatever is asked, and what is less than a day
    older.
    """
    newest_first = sorted(times, reverse=True)
    kept = {at for at in newest_first if newest_first[0] - at < _A_DAY}
    periods: tuple[tuple[int, Callable[[datetime], Hashable]], ...] = (
        (keep.days, lambda at: at.date()),
        (keep.weeks, lambda at: at.isocalendar()[:2]),
        (keep.months, lambda at: (at.year, at.month)),
    )
    for most, period in periods:
        newest: dict[Hashable, datetime] = {}
        for at in newest_first:
            newest.setdefault(period(at), at)
        kept.update(list(newest.values())[:most])
    return kept


def _past_keeping(ours: list[Made], keep: Keep) -> list[Made]:
    """The copies that are not kept; the one that was just made, the last of the list, is never among them."""
    times = {made.file: datetime.fromisoformat(made.made_utc) for made in ours}
    kept = to_keep(times.values(), keep)
    return [made for made in ours[:-1] if times[made.file] not in kept]


def _remove(folder: Path, past: Iterable[Made]) -> list[Path]:
    """Remove those that are still as they were made; gives what is gone. One that may not be removed stays."""
    removed = []
    for made in past:
        file = folder / made.file
        with suppress(OSError):
            if file.is_file() and not file.is_symlink() and fingerprint(file) == made.sha256:
                file.unlink()
                removed.append(file)
    if removed:
        onto_the_disk(folder)
    return removed


def fingerprint(file: Path) -> str:
    """The SHA-256 of a file's bytes."""
    found = hashlib.sha256()
    with file.open("rb") as content:
        while piece := content.read(_PIECE):
            found.update(piece)
    return found.hexdigest()


def read_list(folder: Path) -> list[Made]:
    """The copies on the list of a folder; none where there is no list, or it cannot be read as one."""
    try:
        made = [Made(**entry) for entry in json.loads((folder / LIST).read_text(encoding="utf-8"))]
        for one in made:
            datetime.fromisoformat(one.made_utc)
        return [one for one in made if one.file == Path(one.file).name]
    except (OSError, ValueError, TypeError, RecursionError):
        return []


def _write_list(folder: Path, listed: Iterable[Made]) -> None:
    with replaced_file(folder / LIST, private=True, lasting=True) as draft:
        lines = json.dumps([asdict(made) for made in listed], ensure_ascii=False, indent=1)
        draft.write_text(lines + "\n", encoding="utf-8")
