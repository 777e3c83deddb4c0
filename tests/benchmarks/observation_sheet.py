"""How long a sheet of 5,000 observations takes to come in and to be taken back, against csv and raw SQL."""

import csv
import gc
import random
import tempfile
from datetime import date, timedelta
from pathlib import Path

from obslog.club.register.named_records import add
from obslog.records.database import Database
from obslog.records.opening import open_database
from tests.benchmarks.measuring import Report
from tests.benchmarks.sheet_times import NOW, sheet_times

ROWS, EACH_NIGHT = 5000, 20
HEADS = ("night", "time", "target", "observer", "mount", "tube", "eyepiece", "seen", "description")
MEMBERS = ("Anne", "Ben", "Cara", "Dev")
TABLES = ("nights", "setups", "observations")


def prepared(path: Path) -> Database:
    """A club that the sheet can name: its site, members and telescopes."""
    for file in path.parent.glob(f"{path.name}*"):
        file.unlink()
    database = open_database(str(path), NOW, lambda _text: None)
    add(database, "site", "Mill Field", {"lat_deg": 52.2, "lon_deg": 0.1, "zone": "Europe/London"}, NOW)
    for member in MEMBERS:
        add(database, "member", member, {}, NOW)
    for mount in ("Heron", "Mallard"):
        add(database, "mount", mount, {}, NOW)
    add(database, "tube", "Long tube", {"aperture_mm": 120.0, "focal_mm": 900.0}, NOW)
    add(database, "eyepiece", "Wide 25", {"focal_mm": 25.0}, NOW)
    return database


def write_sheet(path: Path) -> None:
    """Evenings of twenty observations by the site's clocks: deep sky, two planets, a star, and a comet nobody knows."""
    chance = random.Random(4)
    with path.open("w", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(HEADS)
        for place in range(ROWS):
            number, nth = divmod(place, EACH_NIGHT)
            night = date(2024, 1, 3) + timedelta(days=3 * number)
            minutes = 20 * 60 + 11 * nth
            writer.writerow(
                [
                    night, f"{minutes // 60 % 24:02}:{minutes % 60:02}", target(chance, nth, number),
                    MEMBERS[nth % 4], ("Heron", "Mallard")[nth % 2], "Long tube", "Wide 25", "seen",
                    f"a soft glow, number {place}",
                ]
            )  # fmt: skip


def target(chance: random.Random, nth: int, number: int) -> str:
    special = {3: chance.choice(("Jupiter", "Saturn")), 9: "Moon", 12: "Vega", 17: f"Comet {number}"}
    return special.get(nth, f"M{chance.randint(1, 110)}")


def main(report: Report) -> None:
    gc.set_threshold(400_000, 20, 20)  # as the program has it
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        sheet = folder / "observations.csv"
        write_sheet(sheet)
        times = sheet_times(lambda: prepared(folder / "club.db"), "observations", sheet, TABLES)
    what = f"a sheet of {ROWS:,} observations"
    report.add(
        what, "`csv.DictReader` and `executemany` into the same tables", times.taken / times.raw, at_most=4
    )
    report.add("taking it back", "taking it in", times.back / times.taken, at_most=1)
    report.add("doing it again", "taking it in", times.again / times.taken, at_most=1)
    report.add("taking it back", "", times.back, unit=" s")
