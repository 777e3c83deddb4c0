"""The names on record, read at once and only read: for a shell that waits with a half-typed word.

Without SQLAlchemy, whose import takes longer than anyone waits for a key. A database on a server, or one that is not
there or not ours, has no names to give; nothing is made or upgraded.
"""

from collections.abc import Iterable
from pathlib import Path

_TABLES = {"site": "sites", "member": "members", "kit": "kits"}
SECONDS_TO_WAIT = 0.1  # for somebody who is writing


def names_on_record(target: str, kinds: Iterable[str]) -> list[str]:
    """The names of those kinds that are not retired, in order, from the database file `target`."""
    import sqlite3
    from contextlib import closing

    if "://" in target:
        return []
    address = Path(target).absolute().as_uri() + "?mode=ro"
    try:
        with closing(sqlite3.connect(address, uri=True, timeout=SECONDS_TO_WAIT)) as connection:
            rows = [row for kind in kinds for row in connection.execute(*_question(kind))]
    except sqlite3.Error:
        return []
    return sorted({name for (name,) in rows if isinstance(name, str)}, key=str.casefold)


def _question(kind: str) -> tuple[str, tuple[str, ...]]:
    if kind in _TABLES:
        return f"SELECT name FROM {_TABLES[kind]} WHERE retired_on IS NULL", ()
    return "SELECT name FROM equipment WHERE kind = ? AND retired_on IS NULL", (kind,)
