"""One night more in a club, as people record it: begun, a mount set up, synced and checked, and ended.

It goes through the program's own commands, so that whatever they do besides writing the night down is done too.
"""

import io
import random
from collections.abc import Sequence
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path

from obslog.cli.main import main as run

FIRST_ARRIVAL, PAUSE = time(20, 30), timedelta(minutes=7)
SPREAD_ARCMIN = 5.0
SYNCS = ("Capella", "Pollux")
CHECKS = (
    "Castor",
    "Procyon",
    "Regulus",
    "Alioth",
    "Dubhe",
    "Alhena",
    "Denebola",
    "Mizar",
    "Merak",
    "Algieba",
)
"""Stars that stand high over the middle north on an evening in early March."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Evening:
    """Where and with what a mount is set up once more."""

    site: str
    mount: str
    tube: str
    observer: str
    eyepiece: str


def add_night(database: Path, evening: Evening, night: date, rng: random.Random) -> None:
    """The night on record, with one set-up of twelve arrivals; the night must be one of early March."""
    dusk = datetime.combine(night, FIRST_ARRIVAL, UTC)
    begun = dusk - timedelta(minutes=20)
    _typed(database, begun, ["night", "start", evening.site, "--with", evening.observer])
    kit = ["--tube", evening.tube, "--observer", evening.observer, "--eyepiece", evening.eyepiece]
    _typed(database, begun, ["setup", "start", evening.mount, *kit])
    stars = [("sync", star) for star in SYNCS] + [("check", star) for star in CHECKS]
    for place, (role, star) in enumerate(stars):
        _typed(database, dusk + place * PAUSE, [role, star, *_stood(rng)])
    _typed(database, dusk + len(stars) * PAUSE, ["night", "end"])


def _stood(rng: random.Random) -> list[str]:
    """Where a star stood from the centre, as it is typed in: 3.5E 2.0N."""
    east, north = (rng.gauss(0, SPREAD_ARCMIN) for _ in range(2))
    return [f"{abs(east):.1f}{'E' if east > 0 else 'W'}", f"{abs(north):.1f}{'N' if north > 0 else 'S'}"]


def _typed(database: Path, at: datetime, words: Sequence[str]) -> None:
    heard = io.StringIO()
    with redirect_stdout(heard), redirect_stderr(heard):
        code = run(list(words), lambda: at, {"OBSLOG_DB": str(database)})
    assert code == 0, heard.getvalue()
