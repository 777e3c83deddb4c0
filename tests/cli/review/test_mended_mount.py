"""A mount that scattered, was mended by a mechanical service, and lands like the others since: what is said of it."""

from datetime import timedelta

import numpy as np

from tests.cli.program import Program
from tests.cli.review.mended_club import (
    BAD_SCATTER_ARCMIN,
    MOUNTS,
    NIGHTS,
    OBSERVERS,
    SCATTER_ARCMIN,
    SERVICED,
)


def test_a_mended_mount_is_judged_by_the_setups_since_its_service_alone(mended: Program) -> None:
    found = {(item["kind"], item["name"]): item for item in mended.document("review")["items"]}
    effect = found["mount", "Mended"]["effect"]
    # Its truth since then is the truth of all the others: 1.5' per axis.
    assert effect["low"] < 1 < effect["high"]
    assert effect["setups"] == sum(night >= SERVICED for night in NIGHTS) == 20
    one = mended.document("review", "Mended")
    assert one["status"] == "ready"
    assert one["effect"] == effect
    told = mended.must("review", "Mended").out
    assert "not at fault" not in told
    assert "help the borrowers" not in told
    assert "over 20 set-ups" in told


def test_the_eras_of_a_mended_mount_are_told_apart(mended: Program) -> None:
    effects = {effect["name"]: effect for effect in mended.document("pointing", "whose")["effects"]}
    before, since = effects["Mended until 2025-10-10"], effects["Mended"]
    assert (before["setups"], since["setups"]) == (20, 20)
    # Of seven mount eras, one of which scatters 8/1.5 as much: that one is (8/1.5)^(6/7) times the club's level.
    assert 1 < before["low"] < (BAD_SCATTER_ARCMIN / SCATTER_ARCMIN) ** (6 / 7) < before["high"]
    assert since["low"] < (SCATTER_ARCMIN / BAD_SCATTER_ARCMIN) ** (1 / 7) < since["high"]
    # 20 set-ups of 5 arrivals: 0.5 / sqrt(100) of its logarithm each, 0.07 for the difference of two; within 3.5 of it.
    for mount in MOUNTS[1:]:
        assert abs(np.log(since["ratio"] / effects[mount]["ratio"])) < 0.25
    for observer in OBSERVERS:
        assert effects[observer]["low"] < 1 < effects[observer]["high"]
    assert "Mended until 2025-10-10" in mended.must("pointing", "whose", "--most", "30").out


def test_a_mount_not_set_up_since_its_service_has_no_effect(mended: Program) -> None:
    mended.must(
        "service", "add", "Alder", "new clutch", "--on", str(NIGHTS[-1] + timedelta(days=1)), "--mechanical"
    )
    one = mended.document("review", "Alder")
    assert one["effect"] is None
    assert "too few to judge" in mended.must("review", "Alder").out
    names = [effect["name"] for effect in mended.document("pointing", "whose")["effects"]]
    assert f"Alder until {NIGHTS[-1] + timedelta(days=1)}" in names
    assert "Alder" not in names
