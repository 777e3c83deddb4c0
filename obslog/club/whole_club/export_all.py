"""A whole club out into a folder of sheets: all of one moment, and the folder comes into being as a whole.

Nobody but its owner can read it: it holds who has what, and with `with_private` how people are reached.
"""

import json
import os
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import datetime
from io import BufferedWriter
from pathlib import Path
from typing import Any
from uuid import UUID

from sqlalchemy import ColumnElement, Select, Table, and_, func, or_, select, type_coerce
from sqlalchemy.orm import Session
from sqlalchemy.types import NullType

from obslog import __version__
from obslog.club.whole_club.sheet_tables import columns_to_go, left_out, private_kinds, sheet_of, tables_to_go
from obslog.english import counted, enumerated
from obslog.errors import ObslogError
from obslog.exchange.package.cells_out import written_cells
from obslog.exchange.package.description import DESCRIPTION, description_of
from obslog.exchange.package.sheet_file import FileFacts, SheetWriter
from obslog.exchange.package.tables import SheetTable
from obslog.files.atomic_file import whole_folder
from obslog.files.output_files import NoFolderThere, output_in_sentences
from obslog.files.private_files import FILE
from obslog.records.database import Database
from obslog.records.tables.logbook import Act
from obslog.records.tables.logbook_tables import Observation
from obslog.records.tables.schema import metadata
from obslog.records.tables.storeroom import Photograph, Receipt
from obslog.records.upgrading import SCHEMA_REVISION
from obslog.times import utc_text

CHUNK = 5000
FILES = "files of photographs, receipts and drawings"
_OF_FILES = {"photograph": Photograph.sha256, "receipt": Receipt.sha256, "drawing": Observation.sketch}
Tick = Callable[[int], None]


class FolderExists(ObslogError):
    def __init__(self, folder: Path) -> None:
        super().__init__(
            f"{folder} is there already.", "Name another folder; nothing was written, nothing overwritten."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenSheet:
    """A sheet that was written: its table, its file, how many rows and bytes it has."""

    table: str
    file: str
    rows: int
    bytes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ClubWritten:
    """A club as a folder of sheets: what was written, and what was left out with the reason."""

    folder: str
    rows: int
    with_private: bool
    sheets: list[WrittenSheet]
    left_out: dict[str, str]


def export_all(
    database: Database,
    folder: Path,
    now: datetime,
    *,
    with_private: bool = False,
    tick: Tick = lambda _done: None,
) -> ClubWritten:
    """Write every table into a folder that is not there yet. Raises FolderExists, NoFolderThere."""
    with output_in_sentences(folder):
        if folder.exists() or folder.is_symlink():
            raise FolderExists(folder)
        if not folder.absolute().parent.is_dir():
            raise NoFolderThere(folder.absolute().parent)
        with whole_folder(folder) as draft, database.read() as session:
            _hold_one_moment(session)
            sheets = [
                (sheet_of(table), facts)
                for table, facts in _written(session, draft, with_private=with_private, tick=tick)
            ]
            _write_description(draft, sheets, now, with_private=with_private)
            files = files_elsewhere(session)
    return ClubWritten(
        folder=str(folder),
        rows=sum(facts.rows for _, facts in sheets),
        with_private=with_private,
        sheets=[
            WrittenSheet(table=sheet.name, file=sheet.file, rows=facts.rows, bytes=facts.bytes)
            for sheet, facts in sheets
        ],
        left_out=left_out(with_private=with_private) | ({FILES: files} if files else {}),
    )


def files_elsewhere(session: Session) -> str | None:
    """How many files are on record by their names alone, each counted once; None where none is."""
    told = [
        counted(number, kind)
        for kind, column in _OF_FILES.items()
        if (number := session.scalar(select(func.count(column.distinct()))))
    ]
    return f"{enumerated(told)}, where the club keeps them; copy them too" if told else None


def rows_on_record(database: Database) -> int:
    """How many rows there are, for the length of a bar."""
    with database.read() as session:
        counts = (select(func.count()).select_from(table) for table in tables_to_go(with_private=True))
        return sum(session.scalars(query).one() for query in counts)


def _hold_one_moment(session: Session) -> None:
    """Let every table be read as it is now, whatever others write meanwhile; SQLite does so by itself."""
    if session.get_bind().dialect.name == "postgresql":
        session.connection(execution_options={"isolation_level": "REPEATABLE READ"})


def _written(
    session: Session, folder: Path, *, with_private: bool, tick: Tick
) -> Iterator[tuple[Table, FileFacts]]:
    kept_back = None if with_private else _PrivateHistory(session)
    for table in tables_to_go(with_private=with_private):
        condition = None if kept_back is None else kept_back.others(table)
        yield table, _write_table(session, folder, table, condition, tick)


def _write_table(
    session: Session, folder: Path, table: Table, condition: ColumnElement[bool] | None, tick: Tick
) -> FileFacts:
    sheet = sheet_of(table)
    kinds = [column.holds for column in sheet.columns]
    with _private_file(folder / sheet.file) as file:
        writer = SheetWriter(file, sheet.column_names)
        query = _query(table, condition).execution_options(yield_per=CHUNK)
        with closing(session.execute(query)) as found:
            for rows in found.partitions(CHUNK):
                columns = zip(*rows, strict=True)
                cells = [written_cells(holds, values) for holds, values in zip(kinds, columns, strict=True)]
                writer.write(list(zip(*cells, strict=True)))
                tick(len(rows))
    return writer.facts


def _query(table: Table, condition: ColumnElement[bool] | None) -> Select[*tuple[Any, ...]]:
    """The columns as the driver gives them, in the order of the keys."""
    bare = [type_coerce(column, NullType()).label(column.name) for column in columns_to_go(table)]
    query = select(*bare).order_by(*table.primary_key.columns)
    return query if condition is None else query.where(condition)


@contextmanager
def _private_file(path: Path) -> Iterator[BufferedWriter]:
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), FILE)
    with os.fdopen(descriptor, "wb") as file:
        yield file


def _write_description(
    folder: Path, sheets: list[tuple[SheetTable, FileFacts]], now: datetime, *, with_private: bool
) -> None:
    document = description_of(
        sheets,
        created_utc=utc_text(now.replace(microsecond=0)),
        version=__version__,
        revision=SCHEMA_REVISION,
        left_out=left_out(with_private=with_private),
    )
    with _private_file(folder / DESCRIPTION) as file:
        file.write(f"{json.dumps(document, indent=2, ensure_ascii=False)}\n".encode())


class _PrivateHistory:
    """What the history keeps of private records: such rows stay here, and so do acts of which nothing else is kept."""

    def __init__(self, session: Session) -> None:
        self._kinds = private_kinds()
        self._acts = self._acts_of_nothing_else(session)

    def others(self, table: Table) -> ColumnElement[bool] | None:
        """The condition on the rows of a table that may go; None where all may."""
        if "record_kind" in table.c:
            return table.c.record_kind.not_in(self._kinds)
        if table.name == Act.__tablename__:
            return table.c.id.not_in(self._acts) if self._acts else None
        return None

    def _acts_of_nothing_else(self, session: Session) -> list[UUID]:
        histories = [
            table for table in metadata.sorted_tables if {"act_id", "record_kind"}.issubset(table.c.keys())
        ]
        acts = metadata.tables[Act.__tablename__]
        private = or_(*(_acts_with(acts, table, table.c.record_kind.in_(self._kinds)) for table in histories))
        public = or_(
            *(_acts_with(acts, table, table.c.record_kind.not_in(self._kinds)) for table in histories)
        )
        found = list(session.scalars(select(acts.c.id).where(and_(private, ~public))))
        if "undoes_id" not in acts.c or not found:
            return found
        undoing = select(acts.c.undoes_id).where(acts.c.undoes_id.in_(found), acts.c.id.not_in(found))
        needed = set(session.scalars(undoing))
        return [act for act in found if act not in needed]


def _acts_with(acts: Table, history: Table, condition: ColumnElement[bool]) -> ColumnElement[bool]:
    return acts.c.id.in_(select(history.c.act_id).where(condition))
