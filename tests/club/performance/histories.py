"""Set-ups put on record without a sky: landing errors drawn where a test wants them."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Any

import numpy as np
from sqlalchemy import event
from sqlalchemy.orm import Session

from obslog.club.sheets.arrivals_import import take_in
from obslog.records.database import Database

NOW = datetime(2028, 1, 1, tzinfo=UTC)


@dataclass(frozen=True)
class Evening:
    """A set-up: one sync, then checks so many arcminutes east of the field, or told in a word (with a field of 60').

    Without an observer or a tube, `""`, nobody wrote down which.
    """

    night: date
    east_arcmin: Iterable[float] = ()
    words: Iterable[str] = ()
    mount: str = "Heron"
    observer: str = "Ines"
    site: str = "Mill Field"
    tube: str = ""


def put_on_record(database: Database, evenings: Iterable[Evening]) -> None:
    """Take the set-ups in as a sheet would bring them."""
    rows: list[Any] = []
    count: dict[tuple[date, str, str], int] = {}
    for evening in evenings:
        key = (evening.night, evening.site, evening.mount)
        count[key] = count.get(key, 0) + 1
        common: dict[str, Any] = {
            "night": str(evening.night), "site": evening.site, "mount": evening.mount, "setup": count[key],
        }  # fmt: skip
        if evening.observer:
            common["observer"] = evening.observer
        if evening.tube:
            common["tube"] = evening.tube
        said: list[dict[str, Any]] = [{"role": "sync"}]
        for east in evening.east_arcmin:
            said.append({"role": "check", "offset_east_arcmin": float(east), "offset_north_arcmin": 0.0})
        said += [{"role": "goto", "landing": word, "field_arcmin": 60.0} for word in evening.words]
        start = datetime.combine(evening.night, datetime.min.time(), UTC) + timedelta(
            hours=19, minutes=30 * count[key]
        )
        for place, values in enumerate(said):
            at = start + timedelta(seconds=place)
            utc = at.isoformat().replace("+00:00", "Z")
            rows.append(common | values | {"utc": utc, "target": f"star {place}", "line": len(rows) + 2})
    take_in(database, "evenings", rows, [], NOW)


def fortnightly(count: int, first: date = date(2025, 1, 6), days: int = 14) -> list[date]:
    return [first + timedelta(days=days * place) for place in range(count)]


def drawn(rng: np.random.Generator, half_arcmin: float, checks: int = 6) -> list[float]:
    """Distances by Rayleigh's law of which half are within a radius."""
    return [float(r) for r in rng.rayleigh(half_arcmin / np.sqrt(2 * np.log(2)), checks)]


@contextmanager
def counted_reading(database: Database) -> Iterator[dict[str, int]]:
    """How many sessions begin inside, and how many statements read arrivals."""
    count = {"sessions": 0, "arrivals": 0}

    def begun(*_: object) -> None:
        count["sessions"] += 1

    def executed(_connection: object, _cursor: object, statement: str, *_: object) -> None:
        count["arrivals"] += "FROM arrivals" in statement

    event.listen(Session, "after_begin", begun)
    event.listen(database.engine, "before_cursor_execute", executed)
    yield count
    event.remove(Session, "after_begin", begun)
    event.remove(database.engine, "before_cursor_execute", executed)
