"""The budget of a mount on record: what it adds up to, held against the sheet itself, and its words."""

import csv
from datetime import UTC, date, datetime
from pathlib import Path

import numpy as np
import pytest

from obslog.club.landing.error_budget import error_budget, mostly_words
from obslog.club.performance.placed_arrivals import NothingPlaced
from obslog.club.register import named_records
from obslog.club.upkeep.services import add_service
from obslog.errors import UnknownName
from obslog.pointing.budget.budget import Budget, Part
from obslog.pointing.budget.causes import BudgetCause, NamedCause
from obslog.records.database import Database
from obslog.values import Interval
from obslog.vocabulary.mounts import MountType
from tests.club.performance.test_mount_fit import CARELESS, SAMPLES, take_in

NOW = datetime(2026, 6, 2, 20, tzinfo=UTC)


def distances_after_a_sync(name: str) -> np.ndarray:
    """Of the measured arrivals after the first sync of each set-up, read from the sheet by itself."""
    with (SAMPLES / f"{name}.csv").open() as sheet:
        rows = sorted(csv.DictReader(sheet), key=lambda row: row["utc"])
    synced, found = set(), []
    for row in rows:
        setup = (row["night"], row["site"], row["setup"])
        if setup in synced and row["offset_east_arcmin"]:
            found.append(np.hypot(float(row["offset_east_arcmin"]), float(row["offset_north_arcmin"])))
        if row["role"] == "sync":
            synced.add(setup)
    return np.array(found)


@pytest.mark.parametrize("name", ["german_one_sync", "german_three_syncs", "german_wrong_stars"])
def test_the_causes_add_up_to_what_stands_on_the_sheet(database: Database, name: str) -> None:
    take_in(database, name)
    found = error_budget(database, "heron")
    away = distances_after_a_sync(name)
    assert found.go_tos == away.size
    assert found.half_arcmin.value == pytest.approx(np.median(away))
    assert found.rms_arcmin**2 == pytest.approx(np.mean(away**2))
    squares = [one.adds_arcmin.value * abs(one.adds_arcmin.value) for one in found.causes]
    assert sum(squares) == pytest.approx(found.rms_arcmin**2, rel=1e-6)
    assert sum(one.share for one in found.causes) == pytest.approx(1.0)
    gains = [one.half_without_arcmin.value for one in found.causes]
    assert gains == sorted(gains)
    assert found.words[0].startswith(f"Since {found.since} half of Heron's go-tos land within ")


def test_of_few_set_ups_nothing_is_named_that_adds_most(sqlite_database: Database, tmp_path: Path) -> None:
    """One careless night: shares of it stand in the table, with their intervals, and no cause is blamed."""
    sheet = tmp_path / "careless.csv"
    sheet.write_text(CARELESS)
    take_in(sqlite_database, "german_one_sync", sheet=sheet)
    (words,) = error_budget(sqlite_database, "Heron").words
    assert words.startswith("What adds most to Heron's landing errors cannot be told yet from ")
    assert "in 1 set-up: it takes 4 set-ups. Since 2026-02-03 half landed within " in words


def test_wrong_stars_are_a_part_of_the_budget(database: Database) -> None:
    take_in(database, "german_wrong_stars")
    shares = {one.cause: one.share for one in error_budget(database, "Heron").causes}
    assert shares["wrong arrivals"] > 0.05
    assert shares["wrong arrivals"] > 5 * shares["centring of the syncs"]


def test_a_service_after_the_last_set_up_is_told(database: Database) -> None:
    take_in(database, "german_one_sync")
    before = error_budget(database, "Heron")
    assert len(before.words) <= 2
    add_service(database, "mount", "Heron", "new rings", NOW, on=date(2026, 6, 1), mechanical=True)
    after = error_budget(database, "Heron")
    assert after.words[-1].startswith("Serviced on 2026-06-01")


def test_what_cannot_be_split_up_is_said(database: Database) -> None:
    named_records.add(database, "mount", "Heron", {"mount_type": MountType.GERMAN}, NOW)
    with pytest.raises(NothingPlaced):
        error_budget(database, "Heron")
    with pytest.raises(UnknownName):
        error_budget(database, "Bittern")


def part(cause: BudgetCause, square: float, who: str | None = None) -> Part:
    return Part(
        named=NamedCause(cause, who),
        mean_square=Interval(square, square / 2, square * 2, 40),
        half_without_arcmin=Interval(20.0, 18.0, 22.0, 40),
    )


def budget_of(*parts: Part) -> Budget:
    whole = sum(one.mean_square.value for one in parts)
    return Budget(half_arcmin=Interval(22.0, 19.0, 26.0, 40), mean_square=whole, setups=8, parts=parts)


def test_the_words_say_what_most_of_it_is_and_what_adds_little() -> None:
    found = budget_of(
        part(BudgetCause.SLACK, 90.0),
        part(BudgetCause.POLAR, 2.0),
        part(BudgetCause.CONE, 4.0),
        part(BudgetCause.SAG, 4),
    )
    assert mostly_words(found) == (
        "Most of it is slack (90 %); how people set the polar axis and cone error add little."
    )


def test_two_large_parts_are_both_named() -> None:
    found = budget_of(
        part(BudgetCause.POLAR, 45.0),
        part(BudgetCause.READING, 40.0, "Ines"),
        part(BudgetCause.SCATTER, 15.0),
    )
    assert mostly_words(found) == (
        "Its largest parts are the polar axis as people set it (45 %) and reading by Ines (40 %)."
    )
