"""A club of six like mounts, one of which scattered until its gears were rebuilt: the truth, and a sheet of it."""

import csv
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import numpy as np

MOUNTS = ("Mended", "Alder", "Birch", "Cedar", "Elder", "Hazel")
OBSERVERS = ("Ines", "Jon", "Kit", "Lena", "Milo", "Nora")
SERVICED = date(2025, 10, 10)
BAD_SCATTER_ARCMIN, SCATTER_ARCMIN = 8.0, 1.5
STARS = (  # 20:00 to 20:30 by UTC in autumn at 54.6 degrees north: all of them are up
    ("Vega", 18.6156, 38.784),
    ("Deneb", 20.6905, 45.280),
    ("Capella", 5.2782, 45.998),
    ("Altair", 19.8464, 8.868),
    ("Mirfak", 3.4054, 49.861),
    ("Caph", 0.1529, 59.150),
)
COLUMNS = (
    *("night", "site", "observer", "mount", "tube", "utc", "role", "target"),
    *("ra_hours", "dec_deg", "offset_east_arcmin", "offset_north_arcmin"),
)
NIGHTS = [SERVICED + timedelta(days=3 * place) for place in range(-20, 20)]


def write_sheet(path: Path) -> None:
    """Six mounts on each of 40 nights, one sync and five checks each; offsets are drawn with nothing but a scatter."""
    rng = np.random.default_rng(20251010)
    with path.open("w", newline="") as file:
        sheet = csv.writer(file)
        sheet.writerow(COLUMNS)
        for number, night in enumerate(NIGHTS):
            for place, mount in enumerate(MOUNTS):
                bad = mount == "Mended" and night < SERVICED
                scatter = BAD_SCATTER_ARCMIN if bad else SCATTER_ARCMIN
                observer = OBSERVERS[(number + place) % len(OBSERVERS)]
                for star, (target, ra_hours, dec_deg) in enumerate(STARS):
                    at = datetime(night.year, night.month, night.day, 20, 5 * star, tzinfo=UTC)
                    east, north = (0.0, 0.0) if star == 0 else rng.normal(0, scatter, 2)
                    sheet.writerow([
                        night, "Tarn", observer, mount, "Long tube", at.isoformat().replace("+00:00", "Z"),
                        "check" if star else "sync", target, ra_hours, dec_deg,
                        f"{east:.2f}", f"{north:.2f}",
                    ])  # fmt: skip
