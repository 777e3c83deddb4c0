"""Going back to a copy: what that loses and brings back, and the copy put in the database's place.

At whatever moment it is stopped, a whole database lies in that place: the one of before, or the copy. What was there
before is kept under another name.
"""

import os
import shutil
import sqlite3
from contextlib import closing
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from obslog.errors import ObslogError
from obslog.files.atomic_file import moved, onto_the_disk, replaced_file, whole_file
from obslog.files.private_files import FOLDER
from obslog.records.care.apart import Apart, apart
from obslog.records.care.copies_before import place_before
from obslog.records.care.copy_looked_at import Looked, look_at, reading
from obslog.records.care.copying import CopyDiffers, as_it_lies, rows_of
from obslog.records.care.damage import damage_in
from obslog.records.care.held_alone import LOGS, held_alone
from obslog.records.driver_errors import NoSuchDatabase, files_in_sentences, in_sentences
from obslog.records.upgrading import SCHEMA_REVISION, known_revisions


class CopyIsTheDatabase(ObslogError):
    def __init__(self, copy: Path) -> None:
        super().__init__(f"{copy} is the database itself.", "Nothing was changed. Name a copy of it.")


@dataclass(frozen=True, slots=True, kw_only=True)
class GoingBack:
    """A copy against the database that it would take, or has taken, the place of.

    `apart` is None where there is no database, or it cannot be read: `unreadable` then says why. `kept` is the name
    that the file of before has now.
    """

    database: Path
    copy: Path
    done: bool
    kept: Path | None
    revision: str
    upgrade_follows: bool
    unreadable: str | None
    apart: Apart | None


def look_back(database: Path, copy: Path, *, make_folder: bool = False) -> GoingBack:
    """What going back to the copy would lose and bring back; nothing is changed.

    `make_folder` as of `go_back`. Raises NoSuchDatabase and what `look_at` raises.
    """
    return _looked(database, copy, _checked(database, copy, make_folder))


def go_back(
    database: Path, copy: Path, now: datetime, *, shared: bool = False, make_folder: bool = False
) -> GoingBack:
    """Put the copy in the place of the database, whose file is kept under a name with the time in it.

    The copy itself stays as it is. What is put there can be read by its owner alone unless it is `shared`. A folder of
    the database that is not there is made with `make_folder`, as on a new computer, and refused without.
    Raises CopyIsTheDatabase, OpenElsewhere, NoSuchDatabase, and what `look_at` and the disk raise; then nothing was
    changed.
    """
    looked = _checked(database, copy, make_folder)
    place = database.resolve()  # what a link leads to: the link stays
    with files_in_sentences(str(database)):
        place.parent.mkdir(mode=FOLDER, parents=True, exist_ok=True)
    with files_in_sentences(str(database)), in_sentences(str(database)), held_alone(place) as let_go:
        found = _looked(database, copy, looked)
        kept = place_before(place, "restore", now)
        with replaced_file(place, private=not shared, lasting=True) as draft:
            _draw_up(copy, draft, looked)
            if shared and place.exists():
                shutil.copymode(place, draft)
            let_go()
            was_there = _keep_present(place, kept)
    return replace(found, done=True, kept=_as_named(kept, database) if was_there else None)


def _as_named(kept: Path, database: Path) -> Path:
    """The file beside the database as the database itself was named, where no link leads elsewhere."""
    return kept if database.is_symlink() else database.with_name(kept.name)


def _checked(database: Path, copy: Path, make_folder: bool) -> Looked:
    with files_in_sentences(str(database)):
        if database.is_dir():
            raise NoSuchDatabase(str(database), "it is a folder")
        if not make_folder and not database.resolve().parent.is_dir():
            raise NoSuchDatabase(str(database), f"there is no folder {database.parent}")
        if database.exists() and not database.is_file():
            raise NoSuchDatabase(str(database), "it is a pipe or a device, not a file")
        if database.exists() and copy.exists() and database.samefile(copy):
            raise CopyIsTheDatabase(copy)
    return look_at(copy, known_revisions())


def _looked(database: Path, copy: Path, looked: Looked) -> GoingBack:
    found, unreadable = None, None
    if database.exists():
        try:
            found = apart(database.resolve(), copy)
            unreadable = None if found else "it is not an obslog database"
        except (sqlite3.Error, UnicodeDecodeError) as error:
            unreadable = str(error)
    return GoingBack(
        database=database,
        copy=copy,
        done=False,
        kept=None,
        revision=looked.revision,
        upgrade_follows=looked.revision != SCHEMA_REVISION,
        unreadable=unreadable,
        apart=found,
    )


def _draw_up(copy: Path, draft: Path, looked: Looked) -> None:
    """The copy's content as one file, read through again where it will lie."""
    with closing(reading(copy)) as source, closing(sqlite3.connect(draft)) as target:
        source.backup(target)
    with closing(as_it_lies(draft)) as written:
        found = damage_in(written)
        if found or rows_of(written) != looked.rows:
            raise CopyDiffers(draft, found[0] if found else "it does not hold as many rows")


def _keep_present(place: Path, kept: Path) -> bool:
    """Give the present file a second name, and what still lies beside it names that go with that.

    A log must never lie beside a file that it does not belong to: SQLite would write it into the other one.
    """
    was_there = place.exists()
    if was_there:
        _second_name(place, kept)
        onto_the_disk(place.parent)
    # It is made anew from the log whenever it is needed.
    place.with_name(f"{place.name}-shm").unlink(missing_ok=True)
    for ending in LOGS:
        beside = place.with_name(f"{place.name}{ending}")
        if beside.exists():
            moved(beside, kept.with_name(f"{kept.name}{ending}"), Path.replace)
            onto_the_disk(place.parent)
    return was_there


def _second_name(place: Path, kept: Path) -> None:
    try:
        os.link(place, kept)
    except FileExistsError:
        raise
    except OSError:  # a file system that knows no second name for a file
        with whole_file(kept, lasting=True) as draft:
            shutil.copy2(place, draft)
