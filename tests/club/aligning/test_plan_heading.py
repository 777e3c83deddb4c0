"""A plan says where and for when it is, by the clocks of the site."""

import re
from dataclasses import replace
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from obslog.club.aligning.plan_heading import PlanHeading
from obslog.club.aligning.sync_star_plan import RunPage, StarStep
from obslog.club.register.observing_site import ObservingSite
from obslog.values import Place

TARN = ObservingSite("Tarn", Place(54.6, -3.1, 180.0), ZoneInfo("Europe/London"))


def test_the_time_is_that_of_the_clocks_there() -> None:
    midnight = PlanHeading.of("Heron", TARN, datetime(2026, 9, 1, 23, 30, tzinfo=UTC))
    assert (midnight.words, midnight.by_day) == ("Heron at Tarn, 2026-09-02 00:30", None)


def test_by_day_it_is_said_when_stars_are_seen() -> None:
    noon = PlanHeading.of("Heron", TARN, datetime(2026, 9, 1, 11, 0, tzinfo=UTC))
    assert noon.words == "Heron at Tarn, 2026-09-01 12:00"
    assert (noon.by_day or "").startswith("It is too light for stars at 12:00. The first are seen from ")


def run_of(magnitudes: list[float]) -> RunPage:
    """A star every two minutes."""
    return RunPage(
        mount="Heron",
        stars=[
            StarStep(
                order=order, name=f"star {order}", magnitude=magnitude, alt_deg=40, az_deg=90, pier_side=None
            )
            for order, magnitude in enumerate(magnitudes, start=1)
        ],
        minutes=2.0 * len(magnitudes),
        sd_arcmin={},
        determines=[],
        caution=None,
    )


def test_a_run_in_twilight_says_how_many_stars_are_too_faint_and_when_none_is() -> None:
    """At Tarn on 2 March the Sun is 6 degrees down at 18:30 UTC and 9 at 18:50: the limit goes from 1.5 to 3."""
    dusk = datetime(2026, 3, 2, 18, 31, tzinfo=UTC)
    found = PlanHeading.of_run(run_of([0.0, 2.9, 1.0, 2.9]), TARN, dusk).by_day or ""
    told = re.fullmatch(
        r"In twilight 2 stars may be too faint to be found when the turn comes\. All can be found from 18:(\d\d) on: "
        r'--at "2026-03-02 18:(\d\d)"',
        found,
    )
    assert told is not None, found
    assert told[1] == told[2]
    assert 48 <= int(told[1]) <= 55
    assert PlanHeading.of_run(run_of([0.0, 1.0, 1.2, 1.4]), TARN, dusk).by_day is None
    assert PlanHeading.of_run(run_of([0.0, 2.9]), TARN, dusk.replace(hour=20)).by_day is None


def test_a_star_whose_turn_comes_later_has_a_darker_sky() -> None:
    dusk = datetime(2026, 3, 2, 18, 31, tzinfo=UTC)
    assert PlanHeading.of_run(run_of([0.0] * 11 + [2.9]), TARN, dusk).by_day is None


def test_where_it_gets_no_darker_no_time_is_told() -> None:
    helsinki = replace(TARN, place=Place(60.2, 24.9, 20.0), zone=ZoneInfo("Europe/Helsinki"))
    midnight = datetime(2026, 6, 20, 22, 20, tzinfo=UTC)
    assert PlanHeading.of_run(run_of([0.0, 2.9]), helsinki, midnight).by_day == (
        "In twilight 1 star may be too faint to be found when the turn comes."
    )


def test_in_the_morning_no_time_of_the_evening_before_is_told() -> None:
    dawn = datetime(2026, 3, 3, 6, 15, tzinfo=UTC)
    assert PlanHeading.of_run(run_of([0.0, 2.9, 2.9]), TARN, dawn).by_day == (
        "In twilight 2 stars may be too faint to be found when the turn comes."
    )
