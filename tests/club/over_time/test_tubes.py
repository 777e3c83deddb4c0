"""A mount that had two tubes: what belongs to a tube is not laid to the mount, nor to the people who set it up."""

import re

import numpy as np
import pytest

from obslog.club.landing.error_budget import error_budget
from obslog.club.over_time.landing_history import MountHistory, mount_history
from obslog.club.performance.mount_fit import fit_mount
from obslog.club.review.review import Reviewed, review_of
from obslog.club.review.verdicts import Status
from obslog.records.database import Database
from obslog.trends.series.theil_sen import Verdict
from tests.club.over_time.knocked_clubs import CONE, NIGHTS, knocked, put_mounts, steady
from tests.club.performance.histories import NOW

LONG_THEN_SHORT = ["Long tube"] * 12 + ["Short tube"] * 12
CROOKED_ARCMIN = 42.0


def put_another_tube(database: Database, **more: float) -> tuple[MountHistory, Reviewed]:
    """Heron's cone error is 3' with the long tube and 45' with the short one; Bittern has straight ones."""
    mounts = {"Heron": knocked(CROOKED_ARCMIN), "Bittern": steady()}
    put_mounts(database, np.random.default_rng(1), mounts, tubes=LONG_THEN_SHORT, **more)
    return mount_history(database, "Heron"), review_of(database, "Heron", NOW.date())


def test_a_crooked_tube_put_on_half_way_is_not_called_a_worsening_of_the_mount(
    sqlite_database: Database,
) -> None:
    history, reviewed = put_another_tube(sqlite_database)
    assert history.as_used.verdict is Verdict.WORSENING
    assert history.verdict is Verdict.CANNOT_TELL_TUBES
    assert history.words.startswith(
        "Whether Heron itself gets worse cannot be told, for its tubes changed too"
    )
    assert any(reason.startswith("its tubes changed with time") for reason in history.reasons)
    assert "tube" in history.adjusted_for
    assert NIGHTS[12] not in [alarm.likely_since for alarm in history.alarms]
    assert not any("grows by a factor" in reason.words for reason in reviewed.reasons)


def test_the_review_names_the_tube_and_blames_nobody(sqlite_database: Database) -> None:
    """Of people who set it up well it was said that they want help: the fit had looked at the straight tube alone."""
    _, reviewed = put_another_tube(sqlite_database)
    told = [reason.words for reason in reviewed.reasons]
    (crooked,) = [words for words in told if "cone error" in words]
    found = re.match(
        r"cone error \+(\d+\.\d)' ± 0\.\d' over 84 readings with Short tube: the tube is not square", crooked
    )
    assert found, told
    assert float(found[1]) == pytest.approx(CROOKED_ARCMIN + 3.0, abs=2.0)
    assert not any("help the borrowers" in words for words in told), told
    assert reviewed.status is Status.WATCH


def test_the_fit_is_of_the_tube_that_is_on_it_now_and_says_what_it_leaves_out(
    sqlite_database: Database,
) -> None:
    """With as many nights as the short tube the long one, taken off a year ago, was what evenings were planned with."""
    put_another_tube(sqlite_database)
    found = fit_mount(sqlite_database, "Heron")
    assert _cone_with("Short tube", found.sentence) == pytest.approx(CROOKED_ARCMIN + 3.0, abs=2.0)
    left_out = f"12 set-ups with Long tube, the last on {NIGHTS[11]}, are not in this: "
    assert f'{left_out}obslog pointing fit Heron --tube "Long tube"' in found.words
    other = fit_mount(sqlite_database, "Heron", "Long tube")
    assert _cone_with("Long tube", other.sentence) == pytest.approx(3.0, abs=2.0)


def test_the_budget_says_with_which_tube(sqlite_database: Database) -> None:
    put_another_tube(sqlite_database)
    told = error_budget(sqlite_database, "Heron").words[0]
    assert told.startswith(f"Since {NIGHTS[12]} half of Heron's go-tos with Short tube land within ")


def _cone_with(tube: str, sentence: str) -> float:
    found = re.match(rf"With {tube}: Heron's cone error is about (\d+(?:\.\d)?)'", sentence)
    return float(found[1]) if found else float("nan")


@pytest.mark.parametrize("tube", ["Long tube", ""])
def test_a_mount_with_one_tube_is_told_of_as_before(sqlite_database: Database, tube: str) -> None:
    mechanics = steady()
    mechanics[:, CONE] = 12.0
    put_mounts(
        sqlite_database,
        np.random.default_rng(2),
        {"Heron": mechanics},
        tubes=["Long tube"] * 12 + [tube] * 12,
    )
    history = mount_history(sqlite_database, "Heron")
    assert history.verdict is Verdict.STEADY
    assert "tube" not in history.adjusted_for
