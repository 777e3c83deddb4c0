"""Fits of one command are made once each, and asked for by mount and tube."""

from datetime import UTC, datetime

import pytest

from obslog.club.performance import mount_fits
from obslog.club.performance.mount_fits import Fitted, MountFits, examined
from obslog.club.performance.placed_arrivals import NothingPlaced, PlacedArrivals
from obslog.club.performance.snapshot import snapshot_of
from obslog.club.sheets.arrivals_import import take_in
from obslog.errors import UnknownName
from obslog.records.database import Database

STARS = [
    ("sync", "Capella", None, None), ("check", "Regulus", 4.0, 3.0), ("check", "Procyon", -6.0, 2.0),
    ("check", "Castor", 1.0, -5.0), ("check", "Alphard", 3.0, 3.0),
]  # fmt: skip


@pytest.fixture
def looked(sqlite_club: Database) -> Database:
    """An evening of Heron with the Long tube: a sync and four checks."""
    rows = [
        {
            "line": line, "night": "2026-02-10", "site": "Mill Field", "mount": "Heron", "tube": "Long tube",
            "utc": f"2026-02-10T21:{line:02d}:00Z", "role": role, "target": star,
        }
        | ({} if east is None else {"offset_east_arcmin": east, "offset_north_arcmin": north})
        for line, (role, star, east, north) in enumerate(STARS, start=2)
    ]  # fmt: skip
    take_in(sqlite_club, "one evening", rows, [], datetime(2026, 3, 1, tzinfo=UTC))  # type: ignore[arg-type]
    return sqlite_club


def test_a_fit_is_made_once_for_a_mount_and_tube_however_many_ask(
    looked: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    made: list[str | None] = []

    def counted(placed: PlacedArrivals) -> Fitted:
        made.append(placed.tube)
        return examined(placed)

    monkeypatch.setattr(mount_fits, "examined", counted)
    for _ in range(2):  # the second time they are read
        with snapshot_of(looked) as snapshot:
            fits = MountFits(snapshot)
            first = fits.of("Heron")
            assert fits.of("Heron")[1] is first[1]
            assert fits.of("heron", "Long tube")[0].tube == first[0].tube == "Long tube"
    assert made == ["Long tube", "Long tube"]  # the most used tube, and the one that was named


def test_a_mount_without_arrivals_or_not_on_record_is_told_each_time(looked: Database) -> None:
    with snapshot_of(looked) as snapshot:
        fits = MountFits(snapshot)
        for _ in range(2):
            with pytest.raises(NothingPlaced, match="Bracken"):
                fits.of("Bracken")
            with pytest.raises(UnknownName, match="Herron"):
                fits.of("Herron")
