"""The review of the invented club against its written-down truth: names that are bad and good for no good reason."""

from collections.abc import Iterator
from datetime import UTC, date, datetime
from math import isfinite
from pathlib import Path
from shutil import copy

import pytest
from numpy.testing import assert_allclose

from obslog.club.performance.snapshot import snapshot_of
from obslog.club.review.lending_advice import advise_for, next_loans
from obslog.club.review.lending_suitability import Suitability
from obslog.club.review.review import Review, Reviewed, by_gravity, review
from obslog.club.review.verdicts import Status
from obslog.club.storeroom.kits import show_kit
from obslog.club.storeroom.loan_pages import list_loans
from obslog.club.storeroom.store_list import store_list, worth
from obslog.club.upkeep.batteries import battery_page
from obslog.club.upkeep.services import add_service
from obslog.club.upkeep.services_due import DueBy, list_due
from obslog.records.database import Database
from obslog.records.engine import make_engine
from seed_demo.load import fill
from seed_demo.load_office import VALUES
from seed_demo.load_papers import FAILING_BATTERY, FAILING_PERCENT, ON_THE_SHELVES, WRITTEN_OFF
from seed_demo.load_storeroom import LENDING_BOX, LOST_EYEPIECE, OVERDUE_TUBE
from seed_demo.truth import BRAMBLE_YEARLY_GROWTH, MOUNT_TRUTHS
from tests.known import known

LAST_NIGHT = date(2026, 10, 31)
NOON_AFTER = datetime(2026, 11, 1, 12, tzinfo=UTC)
SCATTER = {truth.name: truth.eras[-1].scatter_arcmin for truth in MOUNT_TRUTHS}


@pytest.fixture(scope="module")
def demo(sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Database]:
    path = Path(copy(sqlite_template, tmp_path_factory.mktemp("demo") / "demo.db"))
    database = Database(make_engine(str(path)), str(path))
    fill(database, LAST_NIGHT, NOON_AFTER, lambda _done: None)
    yield database
    database.close()


@pytest.fixture(scope="module")
def found(demo: Database) -> Review:
    return review(demo, NOON_AFTER.date())


def named(found: Review, name: str) -> Reviewed:
    return next(item for item in found.items if item.name == name)


def test_a_sound_mount_with_a_bad_name_is_ready(found: Review) -> None:
    """Its truth: a scatter of 1' and axes within 3', lent to the careless."""
    grumble = named(found, "Old Grumble")
    assert SCATTER["Old Grumble"] < 1.5
    assert grumble.effect is not None
    assert known(grumble.effect.low) > 1  # its landings alone would convict it
    assert grumble.status is Status.READY
    assert "the mount is not at fault" in grumble.reasons[0].words


def test_a_poor_mount_with_a_good_name_is_for_service(found: Review) -> None:
    """Its truth: a scatter of 4.5' and a cone error of 10', hidden by the most careful member's set-ups."""
    heron = named(found, "Silver Heron")
    assert SCATTER["Silver Heron"] > 4
    assert heron.status is Status.SERVICE
    assert "and its own scatter says the same" in heron.reasons[0].words


def test_the_wearing_mount_is_for_service(found: Review) -> None:
    bramble = named(found, "Bramble")
    growth = bramble.reasons[0].numbers
    assert bramble.status is Status.SERVICE
    assert "grows" in bramble.reasons[0].words
    assert (
        1 < float(str(growth["per_year"])) < BRAMBLE_YEARLY_GROWTH
    )  # scatter is but a part of landing error
    status, items = by_gravity(found)[0]
    assert status is Status.SERVICE
    assert {item.name for item in items} >= {"Bramble", "Silver Heron"}
    assert [item.setups_last_year for item in items] == sorted(
        (item.setups_last_year for item in items), reverse=True
    )


def test_the_best_mount_is_ready(found: Review) -> None:
    assert named(found, "Harbour Light").status is Status.READY


def test_the_repaired_mount_is_not_judged_by_what_came_before(found: Review) -> None:
    anvil = named(found, "Anvil")
    assert anvil.status is Status.WATCH
    assert "too few to judge" in anvil.reasons[0].words


def test_the_lost_eyepiece_is_missed_from_its_box(found: Review, demo: Database) -> None:
    assert named(found, LOST_EYEPIECE).status is Status.OUT
    box = named(found, LENDING_BOX)
    assert box.status is Status.WATCH
    assert any(f"{LOST_EYEPIECE} has been missing since" in reason.words for reason in box.reasons)
    assert not show_kit(demo, LENDING_BOX).complete


def test_the_refractor_is_overdue(found: Review, demo: Database) -> None:
    refractor = named(found, OVERDUE_TUBE)
    assert refractor.status is Status.OUT
    assert "overdue" in refractor.reasons[0].words
    assert [loan.what for loan in list_loans(demo, NOON_AFTER.date(), overdue=True)] == [OVERDUE_TUBE]


def test_the_heavy_kit_goes_to_who_waits_for_it_and_to_nobody_else(demo: Database) -> None:
    today = NOON_AFTER.date()
    line = next(line for line in next_loans(demo, today) if line.kit == "Big kit")
    assert line.member == "Idris Penhallow"
    others = {kit.kit: kit.fit for kit in advise_for(demo, "tomasz wilga", today).kits}
    assert others["Big kit"] is Suitability.NOT_NOW
    assert others["Heron kit"] is Suitability.NOT_NOW
    assert others["Rucksack kit"] is Suitability.LEND


def test_who_has_something_overdue_gets_nothing_more(demo: Database) -> None:
    advice = advise_for(demo, "Jun Kitaoka", NOON_AFTER.date())
    assert {kit.fit for kit in advice.kits} == {Suitability.NOT_NOW}
    assert any("overdue" in reason for reason in advice.kits[0].reasons)


def test_the_failing_battery_is_due_and_so_is_a_service_of_each_way(demo: Database) -> None:
    due = list_due(demo, NOON_AFTER.date())
    assert {one.basis for one in due} == set(DueBy)
    battery = next(one for one in due if one.basis is DueBy.BATTERY)
    assert battery.name == FAILING_BATTERY
    percents = [test.capacity_percent for test in battery_page(demo, FAILING_BATTERY).tests]
    assert percents == sorted(percents, key=lambda percent: percent or 0)  # the newest first: it falls
    assert percents[0] == FAILING_PERCENT


def test_what_is_written_off_is_not_in_the_store(demo: Database) -> None:
    assert WRITTEN_OFF not in [line.name for line in store_list(demo)]
    found = worth(store_list(demo, with_retired=True))
    told = [value for name, _, value, _ in ON_THE_SHELVES if value is not None and name != WRITTEN_OFF]
    told += [value for _, value in VALUES]
    assert (found.value, found.known) == (sum(told), len(told))
    assert found.unknown > 0


def test_after_a_mechanical_service_the_effect_is_of_the_setups_since_then(
    demo: Database, found: Review, tmp_path: Path
) -> None:
    serviced = date(2025, 12, 20)
    copied = str(copy(demo.where, tmp_path / "serviced.db"))
    database = Database(make_engine(copied), copied)
    add_service(database, "mount", "Long Paddock", "new worm", NOON_AFTER, on=serviced, mechanical=True)
    with snapshot_of(database) as snapshot:
        landings = snapshot.all_landings()
    paddock = [
        setup
        for setup, log_error in zip(landings.setups, landings.log_error, strict=True)
        if setup.mount == "Long Paddock" and isfinite(log_error)
    ]
    since = sum(setup.night >= serviced for setup in paddock)
    before = named(found, "Long Paddock").effect
    item = named(review(database, NOON_AFTER.date()), "Long Paddock")
    database.close()
    assert before is not None
    assert item.effect is not None
    assert before.count == len(paddock) > item.effect.count == since > 0
    assert f"over {since} set-ups since the service of 2025-12-20" in item.reasons[0].words


def test_shares_add_up_to_one(found: Review) -> None:
    assert set(found.shares) == {"mount", "observer", "site", "rest"}
    assert_allclose(sum(share.value for share in found.shares.values()), 1)
