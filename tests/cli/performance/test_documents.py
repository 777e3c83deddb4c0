"""What trends and the split of errors say to scripts, held against records made by hand; fits: see test_fit.py."""

from math import log, nan
from typing import Any

from obslog.cli.performance.documents import sources_document, trend_document
from obslog.club.over_time.landing_history import AsUsed, Changed, MountHistory, Serviced, SetupHistory
from obslog.club.over_time.own_trends import AlarmNight
from obslog.club.performance.error_sources import ErrorSources
from obslog.pointing.misfit.found_changes import FoundChange
from obslog.trends.attribution.attribution import Effect
from obslog.trends.series.theil_sen import Slope, Verdict
from obslog.values import Estimate, Interval
from tests.cli.performance.records import night, setup_id


def a_setup(place: int, half: Interval | None) -> SetupHistory:
    return SetupHistory(
        setup=setup_id(place), arrivals=9, told_in_words=4, half_arcmin=half,
        rms_arcmin=5.5 if half else None, median_arcmin=4.5 if half else None,
    )  # fmt: skip


CHANGE = FoundChange(
    last_before=night(0), since=night(1), term="cone", size_arcmin=Estimate(-15.0, 1.5, 20, True), chance=1e-9,
    at_once=True, sure=True,
)  # fmt: skip


def test_a_trend_has_the_numbers_of_each_set_up_under_the_published_keys() -> None:
    alarm = AlarmNight(night(1), worse=True, likely_since=night(0))
    history = MountHistory(
        mount="Heron", setups=[a_setup(0, Interval(4.0, 2.0, None, 9)), a_setup(1, None)],
        slope=Slope(Interval(log(1.5), log(1.2), None, 2), 0.04), days=700, verdict=Verdict.WORSENING,
        reasons=["it grew"], words="Half lands",
        as_used=AsUsed(Slope(Interval(0.25, 0.125, 0.5, 2), 0.5), Verdict.STEADY),
        adjusted_for=["observer"],
        alarms=[alarm], services=[Serviced(night(0), Interval(0.5, 0.4, 0.8, 9), 0.97), Serviced(night(1), None, None)],
        changes=[Changed(CHANGE, Interval(1.5, 1.25, 1.75, 9))],
    )  # fmt: skip
    same: dict[str, Any] = {"site": "Tarn", "arrivals": 9, "told_in_words": 4}
    assert trend_document(history) == {
        "mount": "Heron",
        "setups": [
            {
                "night": night(0), "setup": 1, "half_land_within_arcmin": 4.0, "low_arcmin": 2.0, "high_arcmin": None,
                "rms_arcmin": 5.5, "median_arcmin": 4.5,
            } | same,
            {
                "night": night(1), "setup": 2, "half_land_within_arcmin": None, "low_arcmin": None, "high_arcmin": None,
                "rms_arcmin": None, "median_arcmin": None,
            } | same,
        ],
        "slope": {"per_year": log(1.5), "low": log(1.2), "high": None, "p": 0.04},
        "alarms": [night(1)],
        "alarm_details": [alarm],
        "verdict": "worsening",
        "words": "Half lands",
        "as_used": {"slope": {"per_year": 0.25, "low": 0.125, "high": 0.5, "p": 0.5}, "verdict": "steady"},
        "adjusted_for": ["observer"],
        "reasons": ["it grew"],
        "services": [
            {"day": night(0), "factor": {"value": 0.5, "low": 0.4, "high": 0.8}, "helped": 0.97},
            {"day": night(1), "factor": None, "helped": None},
        ],
        "changes": [
            {
                "since": night(1), "last_before": night(0), "term": "cone", "size_arcmin": -15.0, "sd_arcmin": 1.5,
                "factor": {"value": 1.5, "low": 1.25, "high": 1.75},
            },
        ],
    }  # fmt: skip


def test_a_mount_without_a_slope_has_none() -> None:
    history = MountHistory(
        mount="Heron", setups=[], slope=None, days=0, verdict=Verdict.TOO_FEW, words="", reasons=[], alarms=[],
        services=[], as_used=AsUsed(None, Verdict.TOO_FEW), adjusted_for=[],
    )  # fmt: skip
    assert trend_document(history)["slope"] is None
    assert trend_document(history)["as_used"] == {"slope": None, "verdict": "too few nights"}


def test_the_split_has_shares_and_effects_with_their_uncertainty() -> None:
    effect = Effect(
        factor="mount", level="Heron", ratio=Interval(1.5, 1.1, 2.0, 12), worse=0.98,
        log=Estimate(log(1.5), 0.1, 12, True),
    )  # fmt: skip
    found = ErrorSources(20, {"mount": Estimate(0.38, 0.12, 20, True)}, [effect], ["nobody knows"])
    assert sources_document(found) == {
        "setups": 20,
        "attribution": {"mount": {"share": 0.38, "sd": 0.12, "determined": True}},
        "effects": [
            {
                "kind": "mount",
                "name": "Heron",
                "tube": None,
                "ratio": 1.5,
                "low": 1.1,
                "high": 2.0,
                "worse": 0.98,
                "setups": 12,
            }
        ],
        "cannot_tell": ["nobody knows"],
        "sentence": "What makes one set-up land farther off than another is above all the mount (38 %).",
    }
    unseen = sources_document(ErrorSources(20, {"site": Estimate(0.0, nan, 20, False)}, [], []))
    assert unseen["attribution"]["site"]["determined"] is False
