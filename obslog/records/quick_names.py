"""The names on record, read at once and only read: for a shell that waits with a half-typed word.

Without SQLAlchemy, whose import takes longer than anyone waits for a key. A database on a server, or one that is not
there or not ours, has no names to give; nothing is made or upgraded.
"""

from collections.abc import Iterable
from pathlib import Path

from obslog.records.files.addresses import file_address

_TABLES = {"site": "sites", "member": "members", "kit": "kits"}
Question = tuple[str, tuple[str, ...]]
SECONDS_TO_WAIT = 0.1  # for somebody who is writing


def names_on_record(target: str, kinds: Iterable[str]) -> list[str]:
    """The names of those kinds that are not retired, in order, from the database file `target`."""
    return sorted(set(_asked(target, map(_question, kinds))), key=str.casefold)


def own_steps(target: str) -> list[str]:
    """The steps on the club's own checklist, in its order; none where it has none of its own."""
    return _asked(target, [("SELECT step FROM club_steps WHERE left_out = 0 ORDER BY place", ())])


def _asked(target: str, questions: Iterable[Question]) -> list[str]:
    import sqlite3
    from contextlib import closing

    if "://" in target:
        return []
    address = file_address(Path(target).absolute()) + "?mode=ro"
    try:
        with closing(sqlite3.connect(address, uri=True, timeout=SECONDS_TO_WAIT)) as connection:
            rows = [row for question in questions for row in connection.execute(*question)]
    except sqlite3.Error:
        return []
    return [name for (name,) in rows if isinstance(name, str)]


def _question(kind: str) -> Question:
    if kind in _TABLES:
        return f"SELECT name FROM {_TABLES[kind]} WHERE retired_on IS NULL", ()
    return "SELECT name FROM equipment WHERE kind = ? AND retired_on IS NULL", (kind,)
