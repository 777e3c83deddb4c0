"""What two files of one club have apart: the acts and the records that only one of them holds."""

import sqlite3
from collections.abc import Sequence
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from obslog.records.care.copy_looked_at import reading, revision_in

MOST_ACTS = 10
_BESIDE_THE_POINT = {"alembic_version", "acts", "changes", "change_batches", "kept_results", "mount_changes"}


@dataclass(frozen=True, slots=True)
class ActTold:
    """An act as it is on record: when, in UTC, and what."""

    at_utc: str
    sentence: str


@dataclass(frozen=True, slots=True)
class ActsApart:
    """How many acts one file alone holds, and the newest of them."""

    acts: int
    newest: Sequence[ActTold]


@dataclass(frozen=True, slots=True, kw_only=True)
class RowsApart:
    """A table in the file of now and in the copy: how many rows, how many only in one of them, how many differ."""

    table: str
    now: int
    in_copy: int
    only_now: int
    only_in_copy: int
    differ: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """What is lost by going back from one file to the other, and what comes back by it.

    `newest_now` and `newest_in_copy` are the newest act of each, `revision_now` the revision of the file of now.
    """

    revision_now: str
    newest_now: ActTold | None
    newest_in_copy: ActTold | None
    lost: ActsApart
    comes_back: ActsApart
    rows: Sequence[RowsApart]


def apart(present: Path, copy: Path) -> Apart | None:
    """Both files read and compared; None where the present one is not obslog's.

    Raises sqlite3.Error where the present one cannot be read.
    """
    with closing(reading(present)) as now, closing(reading(copy)) as then:
        revision = revision_in(now)
        if revision is None:
            return None
        acts_now, acts_then = _acts(now), _acts(then)
        return Apart(
            revision_now=revision,
            newest_now=_newest(acts_now),
            newest_in_copy=_newest(acts_then),
            lost=_only_in(acts_now, acts_then),
            comes_back=_only_in(acts_then, acts_now),
            rows=[_rows_apart(now, then, table) for table in _tables(now, then)],
        )


def _acts(file: sqlite3.Connection) -> dict[str, ActTold]:
    """The acts by their keys, the newest first."""
    rows = file.execute("SELECT id, at_utc, sentence FROM acts ORDER BY id DESC")
    return {key: ActTold(at, sentence) for key, at, sentence in rows}


def _newest(acts: dict[str, ActTold]) -> ActTold | None:
    return next(iter(acts.values()), None)


def _only_in(acts: dict[str, ActTold], others: dict[str, ActTold]) -> ActsApart:
    found = [act for key, act in acts.items() if key not in others]
    return ActsApart(len(found), found[:MOST_ACTS])


def _tables(*files: sqlite3.Connection) -> list[str]:
    """The tables of records that either file has."""
    query = "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT GLOB 'sqlite_*'"
    found = {name for file in files for (name,) in file.execute(query)}
    return sorted(found - _BESIDE_THE_POINT)


def _rows_apart(now: sqlite3.Connection, then: sqlite3.Connection, table: str) -> RowsApart:
    shared = [column for column in _columns(now, table) if column in _columns(then, table)]
    here, there = _rows(now, table, shared), _rows(then, table, shared)
    return RowsApart(
        table=table,
        now=len(here),
        in_copy=len(there),
        only_now=len(here.keys() - there.keys()),
        only_in_copy=len(there.keys() - here.keys()),
        differ=sum(here[key] != there[key] for key in here.keys() & there.keys()),
    )


def _columns(file: sqlite3.Connection, table: str) -> list[str]:
    return [row[1] for row in file.execute(f'PRAGMA table_info("{table}")')]


def _rows(file: sqlite3.Connection, table: str, shared: list[str]) -> dict[object, int]:
    """Each row's key with a hash of what both files keep of it: a hundred thousand rows take little room."""
    columns = _columns(file, table)
    if not columns:
        return {}
    key = "id" if "id" in columns else "rowid"
    listed = ", ".join(f'"{column}"' for column in shared) or "1"
    return {row[0]: hash(row[1:]) for row in file.execute(f'SELECT {key}, {listed} FROM "{table}"')}
