"""How a server bears the databases of many clubs: their disk, their making, and what a command in one of them takes.

Half an hour and 12 GB of disk, so that it runs only where it is named: python -m tests.benchmarks many_clubs.
"""

import shutil
import subprocess
import sys
import time
from collections.abc import Sequence
from datetime import UTC, date, datetime
from pathlib import Path
from statistics import median

from sqlalchemy import Connection, create_engine, make_url

from obslog.club.night.night_pages import list_nights
from obslog.records.opening import open_database
from tests.benchmarks.big_club import Size, make_club
from tests.benchmarks.measuring import Report
from tests.benchmarks.moving import server_address
from tests.postgres_server import running_server, server_programs

CLUBS = 1_000
SMALL = Size(mounts=3, setups=60, arrivals=5, years=2)
NOW = datetime(2026, 11, 1, 12, tzinfo=UTC)
LEFT_FREE = 10 * 2**30  # bytes
RUNS = 5
DUMPED = 100


def opened_ms(address: str) -> float:
    """To open a club's database and list its nights, in a program that has done so before."""
    start = time.perf_counter()
    database = open_database(address, NOW, lambda _said: None)
    list_nights(database)
    database.close()
    return (time.perf_counter() - start) * 1000


def command_s(address: str) -> float:
    """A command, from its start to its end."""
    start = time.perf_counter()
    line = [sys.executable, "-m", "obslog", "--db", address, "night", "list", "--most", "5"]
    subprocess.run(line, check=True, capture_output=True)
    return time.perf_counter() - start


def make_clubs(admin: Connection, first: int, behind: int) -> list[float]:
    """Copy the small club so often; the seconds of each."""
    took = []
    for number in range(first, behind):
        start = time.perf_counter()
        admin.exec_driver_sql(f"CREATE DATABASE club{number} TEMPLATE small STRATEGY FILE_COPY")
        took.append(time.perf_counter() - start)
    return took


def add_times(report: Report, address: str, numbers: Sequence[int]) -> None:
    """Of each of these clubs, beside all that are there by now."""
    for number in numbers:
        one = make_url(address).set(database=f"club{number}").render_as_string()
        opened_ms(one), command_s(one)  # warm
        beside = f"club {number} beside {max(numbers)} others"
        report.add(
            f"opening {beside}, its nights listed",
            "",
            median(opened_ms(one) for _ in range(RUNS)),
            unit=" ms",
        )
        report.add(
            f"night list in {beside}, a process", "", median(command_s(one) for _ in range(RUNS)), unit=" s"
        )


def add_dumps(report: Report, programs: Path, socket: str, clubs: int) -> None:
    """Dump so many clubs one after the other, as a night's backup does."""
    dumps = Path(socket) / "dumps"
    dumps.mkdir()
    took = []
    for number in range(clubs):
        start = time.perf_counter()
        where = ["-h", socket, "-U", "obslog", "-d", f"club{number}"]
        subprocess.run([programs / "pg_dump", *where, "-Fc", "-f", dumps / f"{number}"], check=True)
        took.append(time.perf_counter() - start)
    report.add(f"dumping one of {clubs} clubs", "", median(took), unit=" s")
    report.add(f"dumping {clubs} clubs", "", sum(took), unit=" s")
    sizes = [dump.stat().st_size for dump in dumps.iterdir()]
    report.add(f"the dumps of {clubs} clubs", "", sum(sizes) / 1e6, unit=" MB")


def main(report: Report) -> None:
    programs = server_programs()
    if programs is None:
        print("many_clubs: no PostgreSQL is installed here", file=sys.stderr)
        return
    with running_server(programs) as socket:
        address = server_address(socket)
        template = make_url(address).set(database="small").render_as_string()
        admin = create_engine(address, isolation_level="AUTOCOMMIT").connect()
        admin.exec_driver_sql("CREATE DATABASE small TEMPLATE template0")
        club = open_database(template, NOW, lambda _said: None)
        make_club(club, date(2026, 10, 31), SMALL)
        club.close()
        made = 0
        for behind in (1, CLUBS // 4, CLUBS // 2, CLUBS):
            if shutil.disk_usage(socket).free < LEFT_FREE + (behind - made) * 15 * 2**20:
                print(f"many_clubs: the disk has no room for more than {made}", file=sys.stderr)
                break
            took = make_clubs(admin, made, behind)
            made = behind
            report.add(f"making one more club, up to {made}", "", median(took), unit=" s")
            add_times(report, address, sorted({0, made - 1}))
        add_sizes(report, admin, Path(socket) / "data", made)
        if (programs / "pg_dump").is_file():
            add_dumps(report, programs, socket, min(made, DUMPED))
        admin.close()


def add_sizes(report: Report, admin: Connection, data: Path, made: int) -> None:
    def asked(query: str) -> float:
        return float(admin.exec_driver_sql(query).scalar_one())

    report.add("a small club's database", "", asked("SELECT pg_database_size('club0')") / 1e6, unit=" MB")
    used = subprocess.run(["du", "-sb", data / "base"], check=True, capture_output=True, text=True).stdout
    report.add(f"all {made}, on the disk", "", int(used.split()[0]) / 1e9, unit=" GB")
    files = sum(1 for _ in (data / "base").rglob("*"))
    report.add(f"files, of {made}", "", files / made, unit=" each")
    shared = "SELECT sum(pg_total_relation_size(oid)) FROM pg_class WHERE relisshared AND relkind = 'r'"
    report.add("catalogs that all share", "", asked(shared) / 1e6, unit=" MB")
    own = (
        "SELECT sum(pg_total_relation_size(oid)) FROM pg_class "
        "WHERE NOT relisshared AND relkind = 'r' AND relnamespace = 'pg_catalog'::regnamespace"
    )
    report.add("catalogs of each", "", asked(own) / 1e6, unit=" MB")
