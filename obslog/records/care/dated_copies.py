"""Copies by date in a folder: each has the time in its name, and of the older ones only some are kept.

What was made here stands on a list beside the copies (`made_copies.py`), and nothing else is ever removed.
"""

from collections.abc import Callable, Hashable, Iterable
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from sqlalchemy import Engine

from obslog.errors import ObslogError
from obslog.fields import NumberField
from obslog.files.private_files import FOLDER, make_private
from obslog.records.care.copying import STAMP, Copied, CopyExists, ServerBackup, back_up
from obslog.records.driver_errors import files_in_sentences
from obslog.records.engine import file_of
from obslog.records.made_copies import Made, made, of_database, read_list, remove, write_list

LIST = "made-copies.json"
COPIES_KEPT = NumberField("The number of copies", 0, 3660, whole=True)
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


class NotListed(ObslogError):
    """A copy that is whole, and was the last that the disk took."""

    def __init__(self, copy: Path, why: str) -> None:
        super().__init__(
            f"The copy {copy} is made, but the list of the copies beside it cannot be kept: {why}.",
            "Older copies stay; this one too, until you delete it. Look at the room on its disk.",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class DatedCopy:
    """A copy that was made, the older ones that were removed after it, and how many of this database are kept."""

    copied: Copied
    removed: list[Path]
    kept: int


def back_up_dated(engine: Engine, folder: Path, now: datetime, keep: Keep) -> DatedCopy:
    """Copy a database's file into a folder, made if need be, and then remove what is older than is to be kept.

    A copy of a database that is damaged itself removes nothing, for the last sound one may be among the older, and is
    not put on the list. Raises OutOfRange, NotListed and what `back_up` raises.
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
    place = folder / LIST
    listed = read_list(place)
    removed: list[Path] = []
    if not copied.damage:
        listed.append(made(copied.file, path, now))
        try:
            write_list(place, listed)
        except OSError as error:
            raise NotListed(copied.file, (error.strerror or str(error)).lower()) from error
        removed = remove(folder, _past_keeping(of_database(path, listed), keep))
        with suppress(OSError):  # what is gone is taken off the list another time then
            write_list(place, listed)
    kept = [one for one in of_database(path, listed) if (folder / one.file).exists()]
    return DatedCopy(copied=copied, removed=removed, kept=len(kept))


def _copy(engine: Engine, path: Path, folder: Path, now: datetime) -> Copied:
    name = f"{path.stem}-{now.strftime(STAMP)}"
    for number in range(2, 1000):
        try:
            return back_up(engine, folder / f"{name}{path.suffix}")
        except CopyExists:  # made within the same second
            name = f"{path.stem}-{now.strftime(STAMP)}-{number}"
    raise CopyExists(folder / f"{name}{path.suffix}")


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
    kept = to_keep((one.at for one in ours), keep)
    return [one for one in ours[:-1] if one.at not in kept]
