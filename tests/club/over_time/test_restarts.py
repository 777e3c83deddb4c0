"""From the database to the sentence: a knock makes a mount another, wear makes it worse, and nothing splits nothing."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from obslog.cli.performance.documents import trend_document
from obslog.club.over_time.landing_history import MountHistory, compare_mounts, mount_history
from obslog.club.over_time.restarts import Restarts
from obslog.club.performance.mount_fit import fit_mount
from obslog.club.review.review import review_of
from obslog.club.upkeep.services import add_service
from obslog.pointing.misfit.found_changes import FoundChange
from obslog.records.database import Database
from obslog.trends.series.theil_sen import Verdict
from obslog.values import Estimate
from tests.club.over_time.knocked_clubs import NIGHTS, knocked, put_mounts, steady, wearing
from tests.club.performance.histories import NOW
from tests.known import known

KNOCK_ARCMIN = 25.0


def history_of(database: Database, mechanics: np.ndarray, seed: int = 1) -> MountHistory:
    put_mounts(database, np.random.default_rng(seed), {"Heron": mechanics})
    return mount_history(database, "Heron")


def test_a_knock_half_way_is_not_told_as_worsening(sqlite_database: Database) -> None:
    history = history_of(sqlite_database, knocked(KNOCK_ARCMIN))
    assert history.verdict is Verdict.STEADY
    assert history.words.startswith(
        f"Heron is steady since its cone error changed between the nights of {NIGHTS[11]} and {NIGHTS[12]}: half of "
        "its go-tos land within "
    )
    assert "before that it was" in history.words
    (changed,) = history.changes
    size = changed.change.size_arcmin
    assert abs(size.value - KNOCK_ARCMIN) < 3 * size.sd
    assert known(known(changed.factor).low) > 1.5
    assert history.adjusted_for[-1] == "change"
    assert f"12 set-ups since its cone error changed ({NIGHTS[12]})" in history.reasons
    (told,) = [reason for reason in history.reasons if "counts as another mount" in reason]
    assert "chance alone gives as much less than once in 1000" in told
    assert f'obslog service add Heron --on {NIGHTS[12]} --mechanical "what was done"' in told
    assert known(history.as_used.slope).per_year.count == 12


def test_without_the_split_it_would_have_been_told_as_worsening(
    sqlite_database: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("obslog.pointing.misfit.found_changes.SURE_LEVEL", -1.0)
    history = history_of(sqlite_database, knocked(KNOCK_ARCMIN))
    assert history.verdict is Verdict.WORSENING


def test_screen_script_fit_and_review_agree(sqlite_database: Database) -> None:
    history = history_of(sqlite_database, knocked(KNOCK_ARCMIN))
    told = trend_document(history)
    (change,) = told["changes"]
    assert (change["since"], change["last_before"], change["term"]) == (NIGHTS[12], NIGHTS[11], "cone")
    assert (told["verdict"], told["words"]) == ("steady", history.words)
    (finding,) = [one for one in fit_mount(sqlite_database, "Heron").findings if one.since]
    assert finding.since == change["since"]
    assert finding.size_arcmin == pytest.approx(change["size_arcmin"])
    judged = review_of(sqlite_database, "Heron", NOW.date())
    reasons = [reason.words for reason in judged.reasons]
    assert not any("grows by a factor" in words for words in reasons)
    assert finding.words in reasons
    assert compare_mounts(sqlite_database, ["Heron"]) == [history]


def test_written_down_it_is_a_service_and_no_change(sqlite_database: Database) -> None:
    history_of(sqlite_database, knocked(KNOCK_ARCMIN))
    add_service(sqlite_database, "mount", "Heron", "knocked", NOW, on=NIGHTS[12], mechanical=True)
    history = mount_history(sqlite_database, "Heron")
    assert (history.changes, "change" in history.adjusted_for) == ([], False)
    assert "12 set-ups since the last service" in history.reasons


def test_wear_is_told_as_worsening(sqlite_database: Database) -> None:
    """The fit sees that the cone error changed, but not at once."""
    history = history_of(sqlite_database, wearing(40.0))
    assert history.verdict is Verdict.WORSENING
    assert history.changes == []
    findings = fit_mount(sqlite_database, "Heron").findings
    assert any("It may have come bit by bit" in finding.words for finding in findings)


def test_a_change_too_small_to_show_splits_nothing(sqlite_database: Database) -> None:
    history = history_of(sqlite_database, knocked(4.0))
    findings = fit_mount(sqlite_database, "Heron").findings
    assert any(finding.since == NIGHTS[12] for finding in findings) or not findings
    assert (history.changes, history.since) == ([], "")


def test_where_nothing_happened_nothing_is_split(sqlite_database: Database) -> None:
    """Ten mounts; at most one in twenty may be split, and one in a thousand is by the level."""
    names = [f"Mount {number}" for number in range(10)]
    put_mounts(sqlite_database, np.random.default_rng(2), {name: steady() for name in names})
    histories = compare_mounts(sqlite_database, names)
    assert [history.changes for history in histories] == [[]] * 10
    assert sum(history.verdict is not Verdict.STEADY for history in histories) <= 1


def a_change(since: date) -> FoundChange:
    return FoundChange(
        last_before=date(2025, 1, 1), since=since, term="sag", size_arcmin=Estimate(9.0, 0.5, 40, True), chance=1e-9,
        at_once=True, sure=True,
    )  # fmt: skip


def test_the_last_of_services_and_changes_begins_the_era() -> None:
    first, service, change, last = (date(2025, month, 1) for month in (1, 3, 5, 9))
    both = Restarts(services=[service], changes=[a_change(change)])
    assert both.days == [service, change]
    assert both.begun_by(last) == a_change(change)
    assert both.since_words(first, last) == " since its sag changed (2025-05-01)"
    mended = Restarts(services=[service, date(2025, 7, 1)], changes=[a_change(change)])
    assert mended.begun_by(last) is None
    assert mended.since_words(first, last) == " since the last service"
    assert Restarts(services=[], changes=[]).since_words(first, last) == ""
    doubtful = Restarts(services=[], changes=[replace(a_change(change), sure=False)])
    assert doubtful.since_words(first, last) == " since its sag may have changed (2025-05-01)"
