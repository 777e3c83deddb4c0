"""The control chart: run lengths by simulation, limits, restarts, and the date a change began."""

import numpy as np
import pytest
from numpy.random import default_rng
from numpy.testing import assert_allclose, assert_array_equal

from obslog.trends.series.control_chart import QUIET_NIGHTS, SMOOTHING, chart, chart_alarms, quiet_chart
from obslog.trends.series.run_lengths import alarm_chance, average_sd, limit_width


def test_sd_of_the_average_by_simulation() -> None:
    steps = 12
    values = default_rng(1).normal(size=(200_000, steps))
    average = np.zeros(values.shape[0])
    for place in range(steps):
        average += 0.3 * (values[:, place] - average)
        assert_allclose(average.std(), average_sd(place + 1, 0.3), rtol=0.01)


@pytest.mark.parametrize("run_length", [24, 60])
@pytest.mark.parametrize("quiet", [6, 8, 20])
def test_false_alarms_come_as_often_as_asked_though_the_limits_are_estimated(
    run_length: int, quiet: int
) -> None:
    # Within the run length asked for, a memoryless alarm comes with chance 1 - 1/e. The simulation is its own loop.
    charts = 40_000
    rng = default_rng(run_length + quiet)
    first = rng.normal(size=(charts, quiet))
    centre, sd = first.mean(axis=1), first.std(axis=1, ddof=1)
    width = limit_width(run_length, 0.2, quiet)
    average, alarmed = centre.copy(), np.zeros(charts, bool)
    for step in range(1, run_length + 1):
        average = 0.8 * average + 0.2 * rng.normal(size=charts)
        half = width * sd * np.sqrt(0.2 / 1.8 * (1 - 0.8 ** (2 * step)))
        alarmed |= np.abs(average - centre) > half
    assert_allclose(alarmed.mean(), 1 - np.exp(-1), atol=0.012)


def test_limits_grow_narrower_the_longer_the_quiet_period() -> None:
    widths = [limit_width(24, SMOOTHING, quiet) for quiet in (4, 8, 16, 64)]
    assert all(np.diff(widths) < 0)
    assert_allclose(limit_width(24, SMOOTHING, 5000), limit_width(24, SMOOTHING), rtol=2e-3)


@pytest.mark.parametrize("run_length", [1, 24, 500])
def test_limits_are_as_wide_as_the_chance_asked_for(run_length: int) -> None:
    chance = alarm_chance(limit_width(run_length, SMOOTHING), SMOOTHING, run_length)
    assert_allclose(chance, 1 - np.exp(-1), rtol=1e-7)


def test_alarm_chance_rises_with_time_and_with_the_shift_and_is_a_chance() -> None:
    chances = alarm_chance(2.5, 0.2, 10, shift=np.array([0, 0.5, 1, 2]))
    assert all(np.diff(chances) > 0)
    assert alarm_chance(2.5, 0.2, 20) > alarm_chance(2.5, 0.2, 10)
    # One value only: the chance is the normal distribution's two tails, 0.0124 beyond 2.5 sd.
    assert_allclose(alarm_chance(2.5, 0.2, 1), 0.01242, atol=2e-5)


def test_the_average_stays_at_a_missing_value() -> None:
    with_gap = chart([1.0, np.nan, 2.0], 0.0, 1.0, 3.0)
    without = chart([1.0, 2.0], 0.0, 1.0, 3.0)
    assert_allclose(with_gap.average[[0, 2]], without.average)
    assert_allclose(with_gap.high[[0, 2]], without.high)
    assert with_gap.average[1] == with_gap.average[0]


def test_a_jump_is_found_and_dated() -> None:
    rng = default_rng(3)
    found, dated = 0, 0
    for _ in range(200):
        values = rng.normal(size=40) * 0.3 + np.where(np.arange(40) >= 20, 0.9, 0.0)
        found += bool((quiet_chart(values).side[20:] > 0).any())
        dated += any(
            alarm.step is not None and abs(alarm.step.first - 20) <= 2 for alarm in chart_alarms(values)
        )
    assert found >= 190
    assert dated >= 160


def test_nothing_alarms_in_the_quiet_nights_nor_before_there_are_enough() -> None:
    values = np.r_[np.zeros(4), 5.0, np.zeros(3)]
    assert values.size == QUIET_NIGHTS
    assert chart_alarms(values) == []
    assert np.isnan(quiet_chart(values).average).all()
    assert chart_alarms([]) == []
    assert chart_alarms(np.ones(30)) == []


def test_a_service_restarts_the_chart_about_its_new_level() -> None:
    rng = default_rng(8)
    values = 0.1 * rng.normal(size=30) + np.r_[np.zeros(15), np.full(15, 2.0)]
    assert any(alarm.side > 0 for alarm in chart_alarms(values))
    restarted = quiet_chart(values, [15])
    assert_allclose(restarted.centre[-1], 2.0, atol=0.15)
    assert_array_equal(np.isnan(restarted.average[15 : 15 + QUIET_NIGHTS]), True)
    assert not any(alarm.step and abs(alarm.step.change.value) > 1 for alarm in chart_alarms(values, [15]))


def test_one_excursion_is_one_alarm() -> None:
    quiet = np.tile([0.1, -0.1], 4)
    values = np.r_[quiet, np.full(6, 3.0)]
    alarms = chart_alarms(values)
    assert [alarm.position for alarm in alarms] == [8]
    assert alarms[0].step is not None
    assert alarms[0].step.first == 8
