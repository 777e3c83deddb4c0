"""An upgrade of a file with a copy before it, and with what was kept for later after it."""

import sqlite3
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from sqlalchemy import Connection, Engine, text
from sqlalchemy.exc import DBAPIError

from obslog.records.care.copies_before import note_copy, place_before, remove_older, take_back, told_of
from obslog.records.care.copying import back_up
from obslog.records.driver_errors import DiskFull, explained
from obslog.records.upgrading import upgrade


def upgrade_with_a_copy(
    engine: Engine,
    path: Path | None,
    newest: str,
    migrations: Path | None,
    now: datetime,
    say: Callable[[str], None],
) -> None:
    """Upgrade after a copy, unless another program was quicker with it; what older copies are removed is told.

    An upgrade that did not happen leaves no copy of a file that is as it was; where that is not certain, it stays.
    """
    copies: list[Path] = []

    def copy_first(connection: Connection) -> None:
        if path is None or connection.scalar(text("SELECT version_num FROM alembic_version")) == newest:
            return
        copy = place_before(path, newest, now)
        copied = back_up(engine, copy)
        copies.append(copy)
        if not copied.damage:
            note_copy(copy, path, now)

    try:
        _upgrade_with_what_was_kept(engine, migrations, copy_first)
    except Exception as error:
        if not _end_is_unknown(error):
            for copy in copies:
                take_back(copy)
        raise
    for copy in copies:
        say(f"Upgraded {path}; a copy of it as it was is {copy}")
        if path is not None and (removed := remove_older(path, copy, now)):
            say(told_of(removed))


def _end_is_unknown(error: Exception) -> bool:
    """Whether the database itself failed, and not for want of room: then the end may have been written all the same."""
    return isinstance(error, DBAPIError | sqlite3.Error) and not isinstance(explained(error, ""), DiskFull)


def _upgrade_with_what_was_kept(
    engine: Engine, migrations: Path | None, copy_first: Callable[[Connection], None]
) -> None:
    """Upgrade, and make rows anew of what the log tells now of more than they hold, all in one transaction."""
    from obslog.records.merging.kept_for_later import (
        Columns,
        columns_there,
        make_one_of_those_let_go,
        take_up_what_was_kept,
    )

    before: list[Columns] = []

    def first(connection: Connection) -> None:
        copy_first(connection)
        before.append(columns_there(connection))

    def then(connection: Connection) -> None:
        take_up_what_was_kept(connection, before[0])
        make_one_of_those_let_go(connection)

    upgrade(engine, migrations, first=first, then=then)
