"""Opening a database: made on first use, upgraded after a backup copy, only read where nothing can be written."""

import os
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from sqlalchemy import Engine, text

from obslog.errors import ObslogError, quoted
from obslog.files.atomic_file import whole_file
from obslog.files.private_files import FOLDER
from obslog.records.database import Database, nobody
from obslog.records.driver_errors import (
    BesideRefused,
    DiskFull,
    DiskRefused,
    NoSuchDatabase,
    NotReadable,
    NotWritable,
    files_in_sentences,
    full_or_failing,
    in_sentences,
)
from obslog.records.engine import BUSY_TIMEOUT_MS, is_url, make_engine, make_reading_engine
from obslog.records.files.private_databases import tighten
from obslog.records.found_revision import file_revision, refuse_what_is_not_older, server_revision
from obslog.records.history.author import Author
from obslog.records.upgrading import SCHEMA_REVISION, newest_revision, upgrade

Say = Callable[[str], None]
MOST_NAMED = 3
_ONLY_READ: dict[type[ObslogError], str] = {
    DiskFull: "There is no room left for {}: it can be read, but nothing can be recorded.",
    DiskRefused: "The disk of {} may be failing: it can be read, but nothing can be recorded. "
    "Copy it to another disk now: obslog db backup --into FOLDER",
    NotWritable: "{} may not be written here: it can be read, but nothing can be recorded.",
}


def open_database(
    target: str,
    now: datetime,
    say: Say,
    *,
    make_folder: bool = False,
    shared: bool = False,
    busy_timeout_ms: int = BUSY_TIMEOUT_MS,
    migrations: Path | None = None,
    author: Callable[[], Author] = nobody,
) -> Database:
    """Open what `target` names, a path or a URL; make it if there is nothing, upgrade it if it is older.

    `say` is told in a sentence when a database is made or upgraded, can only be read since the disk is full,
    or made private: a file that others on the machine could read is closed to them, unless it is `shared`.
    `migrations` is a folder of revisions other than the one shipped with the program; `author` is asked who writes,
    when something is written. Raises EmptyFile, NotADatabase,
    NewerDatabase (the file is left untouched), NoSuchDatabase, NotReadable, and what in_sentences raises.
    """
    engine = make_engine(target, busy_timeout_ms)
    where = engine.url.render_as_string(hide_password=True) if is_url(target) else target
    path = Path(engine.url.database) if engine.dialect.name == "sqlite" and engine.url.database else None
    newest = SCHEMA_REVISION if migrations is None else newest_revision(migrations)
    try:
        with in_sentences(where), files_in_sentences(where):
            if path is None:
                revision = server_revision(engine, where)
            elif _make_file(path, where, make_folder, migrations):
                revision = newest
                say(f"New database: {where}")
                _say_if_there_are_copies(path, say)
            else:
                revision = file_revision(path, where, busy_timeout_ms)
        if revision is not None and revision != newest:
            refuse_what_is_not_older(where, revision, migrations)
        if path is not None and not shared:
            _tighten(path, make_folder, say)
        if revision != newest:
            from obslog.records.copied_upgrades import upgrade_with_a_copy

            with in_sentences(where), files_in_sentences(where):
                upgrade_with_a_copy(engine, path, str(newest), migrations, now, say)
                _renew_roles(engine)
            if revision is None:
                say(f"New database: {where}")
        _tell_of_rights(engine, where, say)
    except (DiskFull, DiskRefused, NotWritable, BesideRefused) as error:
        engine.dispose()
        if path is None or not lies_whole(path):
            raise
        return _only_read(path, where, str(newest), say, error)
    except BaseException:
        engine.dispose()
        raise
    return Database(engine, where, find_author=author)


def _renew_roles(engine: Engine) -> None:
    """Where a club's server has roles, they get their rights on the tables that an upgrade has brought."""
    if engine.dialect.name == "sqlite":
        return
    from obslog.records.roles.making import renew_roles

    with engine.begin() as connection:
        renew_roles(connection)


def _tell_of_rights(engine: Engine, where: str, say: Say) -> None:
    """Where a club's server has roles, its owner hears whether they have the rights of an older version."""
    if engine.dialect.name == "sqlite":
        return
    from obslog.records.roles.given_rights import what_to_give

    with in_sentences(where), engine.connect() as connection:
        if told := what_to_give(connection):
            say(told)


def _tighten(path: Path, own_folder: bool, say: Say) -> None:
    """Close the file, its copies and, where it is the program's own, its folder to others; told when it changes."""
    tightened = tighten(path, own_folder=own_folder)
    if tightened:
        names = [str(one) for one in tightened[:MOST_NAMED]]
        if more := len(tightened) - len(names):
            names.append(f"{more} more beside them")
        say(
            f"Others on this machine could read {', '.join(names)}; now only you can. "
            "If several accounts share the file, set OBSLOG_SHARED=1 before opening it up again."
        )


def lies_whole(path: Path) -> bool:
    """Whether all that is on record lies in the file itself, and nothing waits in the file beside it."""
    beside = path.with_name(f"{path.name}-wal")
    return path.is_file() and path.stat().st_size > 0 and not (beside.exists() and beside.stat().st_size)


def _only_read(
    path: Path, where: str, newest: str, say: Say, why: DiskFull | DiskRefused | NotWritable | BesideRefused
) -> Database:
    """The database where nothing can be written, and it needs no upgrade; else `why` it cannot is raised again."""
    engine = make_reading_engine(path)
    try:
        with in_sentences(where), engine.connect() as connection:
            if connection.scalar(text("SELECT version_num FROM alembic_version")) != newest:
                raise why
    except BaseException:
        engine.dispose()
        raise
    refusal = _refusal(path, where, why)
    say(_ONLY_READ[refusal].format(where))
    return Database(engine, where, only_read=True, refusal=refusal)


def _refusal(
    path: Path, where: str, why: DiskFull | DiskRefused | NotWritable | BesideRefused
) -> type[DiskFull | DiskRefused | NotWritable]:
    """What is raised where something is to be written although nothing can be."""
    if isinstance(why, NotWritable) or not os.access(path.parent, os.W_OK):
        return NotWritable
    return type(full_or_failing(where)) if isinstance(why, BesideRefused) else type(why)


def _make_file(path: Path, where: str, make_folder: bool, migrations: Path | None) -> bool:
    """Make a new database where there is no file; False where there is one."""
    try:
        if path.exists():
            return False
    except PermissionError as error:  # a folder that one may not look into
        raise NotReadable(where) from error
    if make_folder:
        path.parent.mkdir(mode=FOLDER, parents=True, exist_ok=True)
    elif not path.parent.is_dir():
        raise NoSuchDatabase(where, f"there is no folder {path.parent}")
    try:
        with whole_file(path.resolve(), private=True, lasting=True) as draft:
            engine = make_engine(str(draft))
            try:
                upgrade(engine, migrations)
            finally:
                engine.dispose()
    except FileExistsError:  # another program was quicker
        return False
    return True


def _say_if_there_are_copies(path: Path, say: Callable[[str], None]) -> None:
    """Where a file was lost, or its name mistyped, a new one is what nobody wanted."""
    from obslog.records.care.copies_before import newest_copy
    from obslog.records.files.copies import folder_beside

    if (copy := newest_copy(path, folder_beside(path))) is not None:
        say(
            f"An earlier {path.name} is gone. To go back to its newest copy: obslog db restore {quoted(str(copy))}"
        )
