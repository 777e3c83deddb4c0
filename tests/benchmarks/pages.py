"""What pages of a mount and a club of twenty years cost, how large they are, and what all pages of the demo cost."""

import shutil
import subprocess
import sys
import tempfile
from datetime import UTC, date, datetime
from pathlib import Path

from sqlalchemy import func, select

from obslog.records.opening import open_database
from obslog.records.tables.logbook_tables import Setup
from tests.benchmarks.big_club import Size, make_club
from tests.benchmarks.measuring import Report
from tests.benchmarks.startup import environment_of, seconds_of

LAST_NIGHT = date(2026, 3, 2)
MOUNT = "Old Grumble"
ONE_OLD_MOUNT = Size(mounts=1, setups=500, years=20)
RUNS = 3


def main(report: Report) -> None:
    of_an_old_mount(report)
    of_a_big_club(report)
    of_the_demo(report)


def of_a_big_club(report: Report) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        environment = environment_of(folder, "big.db")
        database = open_database(
            environment["OBSLOG_DB"], datetime(2026, 3, 3, tzinfo=UTC), lambda _said: None
        )
        make_club(database, LAST_NIGHT, Size())
        with database.read() as session:
            setups = session.scalar(select(func.count(Setup.id)))
        database.close()
        command = [sys.executable, "-m", "obslog", "page", "club", "--out", str(folder / "club.html")]
        seconds_of(command, environment)  # what it computes is kept
        took = min(seconds_of(command, environment) for _ in range(RUNS))
        report.add(
            f"page of a club of {setups} set-ups with results kept, whole process",
            "",
            took,
            at_most=3.0,
            unit=" s",
        )


def of_the_demo(report: Report) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        environment = environment_of(folder, "demo.db")
        program = [sys.executable, "-m", "obslog"]
        path = environment["OBSLOG_DB"]
        subprocess.run([*program, "demo", "--into", path], env=environment, check=True, capture_output=True)
        took = seconds_of([*program, "page", "all", "--out", str(folder / "pages")], environment)
        report.add("all pages of the demo, nothing kept, whole process", "", took, at_most=20.0, unit=" s")


def of_an_old_mount(report: Report) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        environment = environment_of(folder, "old.db")
        database = open_database(
            environment["OBSLOG_DB"], datetime(2026, 3, 3, tzinfo=UTC), lambda _said: None
        )
        make_club(database, LAST_NIGHT, ONE_OLD_MOUNT)
        with database.read() as session:
            setups = session.scalar(select(func.count(Setup.id)))
        database.close()
        page = folder / "mount.html"
        command = [sys.executable, "-m", "obslog", "page", "mount", MOUNT, "--out", str(page)]
        copy = shutil.copy(
            environment["OBSLOG_DB"], folder / "copy.db"
        )  # to compile the modules, and keep nothing
        subprocess.run([*command, "--db", copy], env=environment, check=True, capture_output=True)
        first = seconds_of(command, environment)
        again = min(seconds_of(command, environment) for _ in range(RUNS))
        report.add(
            f"page of a mount of {setups} set-ups in 20 years, nothing kept, whole process",
            "",
            first,
            unit=" s",
        )
        report.add("the same with results kept", "", again, at_most=2.5, unit=" s")
        report.add("its size", "", page.stat().st_size / 1000, at_most=400, unit=" kB")
