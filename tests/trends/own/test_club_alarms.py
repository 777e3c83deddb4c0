"""The club's chart: so many false alarms a year in all mounts together, and what moves it."""

import numpy as np
import pytest
from numpy.random import default_rng

from obslog.trends.own.club_alarms import club_alarms, crossings
from obslog.trends.own.club_model import fit_club
from obslog.trends.series.run_lengths import alarm_chances, common_width
from tests.trends.own.club_simulations import plain, setups_of


@pytest.mark.parametrize("wanted", [1.0, 4.0])
def test_all_mounts_together_make_as_many_false_alarms_a_year_as_are_wanted(wanted: float) -> None:
    rng = default_rng(30)
    clubs, alarms, years = 30, 0, 0.0
    for _ in range(clubs):
        model = fit_club(setups_of(rng, plain(rng)))
        found = club_alarms(model, wanted)
        alarms += len(found.alarms)
        years += 15 / 12  # sixteen charted nights, a month apart
        # 20 mounts of 16 charted nights each in 1.25 years: 320 / (1.25 wanted).
        assert found.run_length == round(320 / 1.25 / wanted)
    expected = wanted * years
    assert 0.5 * expected < alarms < expected + 3 * np.sqrt(expected)


def test_a_chart_of_a_month_makes_a_months_share_of_a_years_false_alarms() -> None:
    """20 mounts of four charted nights in a month, in 30 clubs that want one in a year: 30 / 12 are to be expected.

    More than 7 would come once in 240; where each was given a whole year's alarms there were 30 to be expected.
    """
    rng, alarms = default_rng(33), 0
    for _ in range(30):
        story = plain(rng, nights=12)
        story.years = np.arange(12) / 36
        found = club_alarms(fit_club(setups_of(rng, story)), 1.0)
        alarms += len(found.alarms)
        assert found.run_length == 20 * 4 * 12
    assert alarms <= 7


def test_a_mount_that_is_knocked_is_alarmed_with_the_night_since_when() -> None:
    rng = default_rng(31)
    story = plain(rng)
    story.extra[3, 14:] += np.log(2.5)
    found = club_alarms(fit_club(setups_of(rng, story)), 1.0)
    mine = [alarm for alarm in found.alarms if alarm.position // 24 == 3]
    assert mine[0].side == 1
    assert 14 <= mine[0].position - 72 <= 18
    assert mine[0].step is not None
    assert abs(mine[0].step.first - (72 + 14)) <= 1


def test_without_charted_set_ups_there_is_no_chart() -> None:
    rng = default_rng(32)
    found = club_alarms(fit_club(setups_of(rng, plain(rng, nights=8))), 1.0)
    assert (found.alarms, found.run_length) == ([], None)


def test_an_alarm_is_told_once_until_the_average_has_come_back() -> None:
    # Averages 0.4, 0.32 + 0.4, ... with the weight 0.2; limits 1 x sd of the average.
    values = np.array([2.0, 2.0, 0.2, 2.0, -1.5, -1.5, -1.5, 0.0, 2.0, 2.0, 2.0])
    side = crossings(values, 1.0)
    assert side[0] == 1
    assert side[1:4].tolist() == [0, 0, 0]
    assert side[8:].sum() == 1


def test_charts_together_make_the_alarms_that_their_chances_add_up_to() -> None:
    width = common_width(
        [10, 40], 0.05, 0.2, 10_000
    )  # of so many quiet nights the centre is as good as known
    total = -sum(np.log(1 - alarm_chances(width, 0.2, count)[-1]) for count in (10, 40))
    assert total == pytest.approx(0.05, rel=0.02)
