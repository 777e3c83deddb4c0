"""How long it takes to move a club to a server, every row compared, against COPY of the same rows into the same tables.

By the clock: most of the work is the server's. The rows of the floor are made into COPY's own text beforehand.
"""

import sys
import tempfile
import time
from datetime import UTC, date, datetime
from pathlib import Path
from urllib.parse import quote

from sqlalchemy import Engine

from obslog.club.sheets.arrivals_files import import_arrivals
from obslog.records.change_counting import stop_counting
from obslog.records.database import Database
from obslog.records.engine import make_engine
from obslog.records.moving.move import held_still, move_records
from obslog.records.moving.putting import empty_tables
from obslog.records.moving.stored_rows import columns_of, stored_rows, tables_to_move
from obslog.records.moving.target import target_of_move
from obslog.records.opening import open_database
from tests.benchmarks import importing
from tests.benchmarks.measuring import Report
from tests.postgres_server import running_server, server_programs

RUNS = 2
NOW = datetime(2026, 11, 1, 12, tzinfo=UTC)
Texts = list[tuple[str, str, bytes]]


def club_to_move(folder: Path, arrivals: int, first: date) -> Database:
    """A club in a file, of so many arrivals from a first night on."""
    sheet = folder / "sheet.csv"
    importing.write_sheet(sheet, arrivals, first)
    club = open_database(str(folder / "club.db"), NOW, lambda _said: None)
    import_arrivals(club, sheet, datetime.now(UTC), create=True)
    return club


def server_address(socket: str) -> str:
    return f"postgresql+psycopg://obslog@/postgres?host={quote(socket, safe='')}"


def our_seconds(source: Engine, target: str) -> float:
    """A whole move into an empty database: copied, compared, opened for use."""
    engine, where = target_of_move(target, source, NOW, lambda _said: None)
    start = time.perf_counter()
    with held_still(source) as connection:
        move_records(connection, engine, where, lambda _table, _there, _every: None)
    seconds = time.perf_counter() - start
    with engine.begin() as connection:
        stop_counting(connection)
        empty_tables(connection, tables_to_move())
    engine.dispose()
    return seconds


def copy_texts(source: Engine) -> Texts:
    """The rows of each table as COPY reads them."""
    with source.begin() as connection:
        return [
            (
                table.name,
                ", ".join(columns_of(table)),
                b"".join(_line(row) for rows in stored_rows(connection, table) for row in rows),
            )
            for table in tables_to_move()
        ]


def _line(row: tuple[object, ...]) -> bytes:
    return ("\t".join(map(_cell, row)) + "\n").encode()


def _cell(value: object) -> str:
    if value is None:
        return r"\N"
    text = rf"\x{value.hex()}" if isinstance(value, bytes) else str(value)
    return text.replace("\\", r"\\").replace("\t", r"\t").replace("\n", r"\n").replace("\r", r"\r")


def copy_seconds(texts: Texts, target: str) -> float:
    """COPY of the texts into the empty tables, with their keys, indexes and checks."""
    engine = make_engine(target)
    with engine.begin() as connection:
        raw = connection.connection.driver_connection
        assert raw is not None
        start = time.perf_counter()
        with raw.cursor() as cursor:
            for table, columns, text in texts:
                with cursor.copy(f"COPY {table} ({columns}) FROM STDIN") as copy:
                    copy.write(text)
        raw.commit()
        seconds = time.perf_counter() - start
    with engine.begin() as connection:
        empty_tables(connection, tables_to_move())
    engine.dispose()
    return seconds


def main(report: Report) -> None:
    programs = server_programs()
    if programs is None:
        print("moving: no PostgreSQL is installed here", file=sys.stderr)
        return
    with running_server(programs) as socket, tempfile.TemporaryDirectory() as name:
        club = club_to_move(Path(name), importing.ARRIVALS, date(2010, 1, 1))
        target = server_address(socket)
        texts = copy_texts(club.engine)
        turns = [(our_seconds(club.engine, target), copy_seconds(texts, target)) for _ in range(RUNS + 1)]
        ours, floor = (min(times) for times in zip(*turns[1:], strict=True))
        club.close()
    report.add(
        f"moving {importing.ARRIVALS:,} arrivals to a server, every row compared",
        "`COPY` of the same rows into the same tables",
        ours / floor,
        at_most=3,
    )
