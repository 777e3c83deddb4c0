"""Copies that are made beside a database before something that changes much: an upgrade, a merge, a repair.

Of each of these occasions the newest few are kept, and whatever is younger than some days: a merge that was a mistake
is noticed when the club meets. Removed are only those on the list beside the database, and only when what the newest
was made before has ended well. A file that `db restore` has put aside is no copy: it may hold what nothing else does.
"""

import re
from collections.abc import Iterable, Sequence
from contextlib import suppress
from datetime import datetime, timedelta
from itertools import count
from pathlib import Path

from obslog.english import counted
from obslog.records.care.copying import STAMP, CopyExists, OpenDatabase, back_up
from obslog.records.care.dated_copies import LIST
from obslog.records.driver_errors import DamagedDatabase, files_in_sentences
from obslog.records.engine import file_of
from obslog.records.made_copies import Made, is_as_made, made, of_database, read_list, remove, write_list

KEPT_OF_EACH = 5
YOUNG = timedelta(days=14)
_STAMPED = re.compile(r".*\.before-(.+)-\d{8}T\d{6}Z(-\d+)?")


def list_beside(path: Path) -> Path:
    """The list of a database's copies of this kind."""
    return path.with_name(f"{path.stem}.made-copies.json")


def newest_copy(path: Path, folder: Path) -> Path | None:
    """The newest sound copy that was made here of the database, in the folder of its copies or beside it, if any."""
    found = [
        (one.at, place.parent / one.file)
        for place in (folder / LIST, list_beside(path))
        for one in of_database(path, read_list(place))
        if (place.parent / one.file).is_file()
    ]
    return max(found)[1] if found else None


def copy_before(
    database: OpenDatabase, what: str, now: datetime, *, even_damaged: bool = False
) -> Path | None:
    """Copy the file beside itself, before something that changes much, such as a merge; gives the copy.

    The name says before what, and when; one that is taken already gets a number. A server's database has no file:
    there None is given, and its own tools keep it. Raises DamagedDatabase, unless that is to be mended; what writing
    to one that can only be read raises; and what `back_up` raises.
    """
    place = file_of(database.engine)
    if place is None:
        return None
    if database.only_read:
        raise database.refusal(database.where)
    while True:
        copy = place_before(place, what, now)
        try:
            copied = back_up(database.engine, copy)
            break
        except CopyExists:  # another program took the name in between: there is a next one
            continue
    if copied.damage and not even_damaged:
        take_back(copy)
        raise DamagedDatabase(database.where)
    if not copied.damage:  # one that is damaged counts for none of those that are kept
        try:
            note_copy(copy, place, now)
        except BaseException:  # what it was made before does not happen
            take_back(copy)
            raise
    return copy


def take_back(copy: Path) -> None:
    """Remove a copy again, before something that did not happen; one that cannot be removed does no harm."""
    with suppress(OSError):
        copy.unlink(missing_ok=True)


def place_before(path: Path, what: str, now: datetime) -> Path:
    """The name of a copy that is made before something is done; one that nobody has yet."""
    name = f"{path.stem}.before-{what}-{now.strftime(STAMP)}"
    for number in count(2):
        place = path.with_name(f"{name}{path.suffix}")
        if not place.exists():
            return place
        name = f"{path.stem}.before-{what}-{now.strftime(STAMP)}-{number}"
    raise AssertionError  # count() has no end


def note_copy(copy: Path, database: Path, now: datetime) -> None:
    """Put a copy on the list, so that it can be removed one day."""
    place = list_beside(database)
    with files_in_sentences(str(place)):
        write_list(place, [*read_list(place), made(copy, database, now)])


def remove_older(database: Path, copy: Path, now: datetime) -> list[Path]:
    """Remove what is past keeping, now that what `copy` was made before has ended well; gives what is gone.

    Nothing is removed where that copy is not on the list, for it is damaged then, and nothing is raised: what was done
    is on record.
    """
    place = list_beside(database)
    listed = read_list(place)
    ours = of_database(database, listed)
    if copy.name not in {one.file for one in ours}:
        return []
    removed = remove(place.parent, past_keeping(ours, place.parent, now))
    if removed:
        with suppress(OSError):  # what is gone is taken off the list another time then
            write_list(place, listed)
    return removed


def past_keeping(ours: Iterable[Made], folder: Path, now: datetime) -> list[Made]:
    """The copies that are not kept: old, and with enough newer ones of their occasion that are as they were made."""
    past: list[Made] = []
    occasions: dict[str, list[Made]] = {}
    for one in sorted(ours, key=lambda one: (one.at, one.file), reverse=True):
        occasions.setdefault(_occasion(one.file), []).append(one)
    for newest_first in occasions.values():
        old = [one for one in newest_first if now - one.at >= YOUNG]
        if len(newest_first) <= KEPT_OF_EACH or not old:
            continue
        whole = [one for one in newest_first if is_as_made(folder, one)]
        past += [one for one in whole[KEPT_OF_EACH:] if one in old]
    return past


def _occasion(name: str) -> str:
    """Before what a copy was made; upgrades, which are named by their revisions, are one."""
    found = _STAMPED.match(name)
    what = found[1] if found else name
    return "upgrade" if what.isdigit() else what


def told_of(removed: Sequence[object]) -> str:
    """What was removed, in a sentence."""
    copies = counted(len(removed), "older copy", "older copies")
    were = "was" if len(removed) == 1 else "were"
    return (
        f"{copies} from before upgrades, merges or repairs {were} removed; "
        f"the newest {KEPT_OF_EACH} of each are kept, and those of the last {YOUNG.days} days."
    )
