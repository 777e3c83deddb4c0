"""A move of a million arrivals: its time against COPY, its memory, and going on after it was killed in the middle.

Some minutes, so that it runs only where it is named: python -m tests.benchmarks moving_a_million.
"""

import signal
import subprocess
import sys
import tempfile
import time
from datetime import UTC, date, datetime
from pathlib import Path

from obslog.records.change_counting import stop_counting
from obslog.records.engine import make_engine
from obslog.records.moving.move import MovedTable, Tell, held_still, move_records
from obslog.records.moving.putting import empty_tables
from obslog.records.moving.stored_rows import tables_to_move
from obslog.records.moving.target import target_of_move
from tests.benchmarks import importing
from tests.benchmarks.measuring import Report, peak_mb
from tests.benchmarks.moving import club_to_move, copy_seconds, copy_texts, our_seconds, server_address
from tests.postgres_server import running_server, server_programs

ARRIVALS, FIRST = 1_000_000, date(1905, 1, 1)  # three mounts on each of 41,667 nights
NOW = datetime(2026, 11, 1, 12, tzinfo=UTC)
KILLED_AT = 400_000  # rows of the arrivals


def move(file: str, target: str, tell: Tell = lambda _table, _there, _every: None) -> list[MovedTable]:
    """Move a file to the server, as the command does it, but for the answers that are compared."""
    engine, where = target_of_move(target, make_engine(file), NOW, lambda _said: None)
    with held_still(make_engine(file)) as source:
        moved = move_records(source, engine, where, tell)
    engine.dispose()
    return moved


def told_move(file: str, target: str) -> None:
    """The same, each batch told on standard output."""
    move(file, target, lambda table, there, _every: print(table, there, flush=True))


def move_killed(file: str, target: str) -> None:
    """Begin the move in a process of its own, and kill that once so many arrivals are there."""
    code = f"from tests.benchmarks.moving_a_million import told_move\ntold_move({file!r}, {target!r})"
    with subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True) as child:
        assert child.stdout is not None
        for line in child.stdout:
            table, there = line.split()
            if table == "arrivals" and int(there) >= KILLED_AT:
                child.send_signal(signal.SIGKILL)
                return


def empty(target: str) -> None:
    """Take every row away again, for the next move."""
    engine = make_engine(target)
    with engine.begin() as connection:
        stop_counting(connection)
        empty_tables(connection, tables_to_move())
    engine.dispose()


def memory_mb(arrivals: int, first: date, target: str) -> float:
    with tempfile.TemporaryDirectory() as name:
        club_to_move(Path(name), arrivals, first).close()
        peak = peak_mb("tests.benchmarks.moving_a_million", "move", str(Path(name) / "club.db"), target)
    empty(target)
    return peak


def main(report: Report) -> None:
    programs = server_programs()
    if programs is None:
        print("moving_a_million: no PostgreSQL is installed here", file=sys.stderr)
        return
    with running_server(programs) as socket, tempfile.TemporaryDirectory() as name:
        target = server_address(socket)
        few = memory_mb(importing.ARRIVALS, date(2010, 1, 1), target)
        club, file = club_to_move(Path(name), ARRIVALS, FIRST), str(Path(name) / "club.db")
        texts = copy_texts(club.engine)
        ours, floor = our_seconds(club.engine, target), copy_seconds(texts, target)
        del texts
        many = peak_mb("tests.benchmarks.moving_a_million", "move", file, target)
        empty(target)
        move_killed(file, target)
        start = time.perf_counter()
        moved = {table.table: table for table in move(file, target)}
        resumed = time.perf_counter() - start
        club.close()
    arrivals = moved["arrivals"]
    assert arrivals.rows == ARRIVALS
    what = f"moving {ARRIVALS:,} arrivals to a server, every row compared"
    report.add(what, "`COPY` of the same rows into the same tables", ours / floor, at_most=3)
    report.add("the same", "", ours, unit=" s")
    report.add("the most memory it needs", f"that for {importing.ARRIVALS:,}", many / few, at_most=1.5)
    report.add("the most memory it needs", "", many, unit=" MB")
    report.add(
        f"going on after it was killed, {ARRIVALS - arrivals.came_now:,} arrivals there",
        "all of it at once",
        resumed / ours,
    )
