"""How soon a moving average alarms, by simulation and by the normal distribution."""

import numpy as np
from numpy.random import default_rng
from numpy.testing import assert_allclose

from obslog.trends.series.run_lengths import alarm_chances, average_sd


def test_sd_of_the_average_by_simulation() -> None:
    steps = 12
    values = default_rng(1).normal(size=(200_000, steps))
    average = np.zeros(values.shape[0])
    for place in range(steps):
        average += 0.3 * (values[:, place] - average)
        assert_allclose(average.std(), average_sd(place + 1, 0.3), rtol=0.01)


def test_alarm_chance_rises_with_time_and_with_the_shift_and_is_a_chance() -> None:
    chances = alarm_chances(2.5, 0.2, 20, shift=np.array([0, 0.5, 1, 2]))
    assert (np.diff(chances, axis=0) > 0).all()
    assert (np.diff(chances, axis=1) > 0).all()
    assert ((chances > 0) & (chances < 1)).all()
    # One value only: the chance is the normal distribution's two tails, 0.0124 beyond 2.5 sd.
    assert_allclose(chances[0, 0], 0.01242, atol=2e-5)


def test_alarms_come_as_often_as_reckoned() -> None:
    # The simulation is its own loop.
    charts, rng = 40_000, default_rng(24)
    average, alarmed = np.zeros(charts), np.zeros(charts, bool)
    for step in range(1, 25):
        average = 0.8 * average + 0.2 * rng.normal(size=charts)
        alarmed |= np.abs(average) > 2.5 * np.sqrt(0.2 / 1.8 * (1 - 0.8 ** (2 * step)))
    assert_allclose(alarmed.mean(), alarm_chances(2.5, 0.2, 24)[-1], atol=0.012)
