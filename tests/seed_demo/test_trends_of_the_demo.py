"""The own trends of the invented club against its written-down truth: who wears, who does not, and who fell over."""

from datetime import timedelta

import pytest

from obslog.club.over_time.landing_history import MountHistory, compare_mounts, mount_history
from obslog.club.performance.mount_fit import fit_mount
from obslog.records.database import Database
from obslog.trends.series.theil_sen import Verdict
from seed_demo.truth import BRAMBLE_YEARLY_GROWTH, DAYS, KNOCK_DAY, MOUNT_TRUTHS
from tests.known import known
from tests.seed_demo.conftest import LAST_NIGHT

FIRST_DAY = LAST_NIGHT - timedelta(days=DAYS - 1)
TRUTH = {truth.name: truth for truth in MOUNT_TRUTHS}
NO_FAULT_OF_THEIRS = [name for name, truth in TRUTH.items() if len(truth.eras) == 1 and name != "Bramble"]


@pytest.fixture(scope="module")
def histories(demo: Database) -> dict[str, MountHistory]:
    """All mounts, looked at together."""
    return {history.mount: history for history in compare_mounts(demo, list(TRUTH))}


def test_old_grumble_is_steady_whoever_borrows_it(demo: Database) -> None:
    """Its truth: one era, a scatter of 1', axes within 3'; the careless borrow it."""
    (era,) = TRUTH["Old Grumble"].eras
    assert (era.yearly_growth, era.scatter_arcmin) == (1.0, 1.0)
    history = mount_history(demo, "Old Grumble")
    assert history.verdict is Verdict.STEADY
    assert history.words.startswith("Old Grumble is steady: half of its go-tos land within ")
    assert "observer" in history.adjusted_for


def test_bramble_is_worsening_by_less_than_its_slack_grows(demo: Database) -> None:
    """Its slack grows by 2.8 a year; axes and people, who do not, keep its landing error from growing as fast."""
    history = mount_history(demo, "Bramble")
    assert history.verdict is Verdict.WORSENING
    factor = known(history.yearly_factor)
    assert 1.0 < known(factor.low) < factor.value < BRAMBLE_YEARLY_GROWTH
    assert history.words.startswith("Bramble is worsening: half of its go-tos now land within ")
    assert history.changes == []  # it wears: nothing happened at once


def test_of_the_mounts_that_stay_as_they_are_none_worsens_and_none_is_split(
    histories: dict[str, MountHistory],
) -> None:
    assert len(NO_FAULT_OF_THEIRS) >= 9
    assert [name for name in NO_FAULT_OF_THEIRS if histories[name].verdict is Verdict.WORSENING] == []
    assert [name for name in NO_FAULT_OF_THEIRS if histories[name].changes] == []


def test_anvils_fall_begins_an_era_on_the_first_night_after_it(
    demo: Database, histories: dict[str, MountHistory]
) -> None:
    (changed,) = histories["Anvil"].changes
    fell = FIRST_DAY + timedelta(days=KNOCK_DAY)
    assert changed.change.last_before <= fell <= changed.change.since
    assert changed.change.term == "cone"
    sound, fallen = TRUTH["Anvil"].eras[:2]
    size = changed.change.size_arcmin
    assert abs(size.value - (fallen.cone_arcmin - sound.cone_arcmin)) < 3 * size.sd
    assert known(known(changed.factor).low) > 1.0
    assert changed.change.since in {finding.since for finding in fit_mount(demo, "Anvil").findings}


def test_what_the_service_of_anvil_did_is_told_from_the_fall(histories: dict[str, MountHistory]) -> None:
    """The workshop took most of the slack out; beside the years before the fall it would have done harm."""
    (service,) = histories["Anvil"].services
    assert known(service.factor).value < 1.0
