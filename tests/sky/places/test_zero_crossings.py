"""Zeros of smooth quantities are found, also those of short appearances."""

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from obslog.sky.places.kernel import Array, Instants
from obslog.sky.places.zero_crossings import Crossings, crossings

START = np.datetime64("2026-01-01", "us")


def minutes(when: Instants) -> Array:
    return np.asarray((when - START) / np.timedelta64(1, "m"))


def wave(height: float, peak: float = 720.0) -> Crossings:
    """Zeros of a wave of one day's period, raised by `height`, over two days; highest at `peak` minutes."""
    return crossings(lambda when: height + np.cos(2 * np.pi * (minutes(when) - peak) / 1440), START, 48)


def test_zeros_of_a_wave_are_where_they_must_be() -> None:
    found = wave(0.0)
    assert_allclose(minutes(found.when_utc), [360, 1080, 1800, 2520], rtol=0, atol=0.1 / 60)
    assert_array_equal(found.upward, [True, False, True, False])


@pytest.mark.parametrize("minutes_up", [1, 3, 10, 29])
@pytest.mark.parametrize("peak", [720.0, 727.0, 735.0, 750.0])
def test_a_short_appearance_is_caught_wherever_the_samples_fall(minutes_up: int, peak: float) -> None:
    found = wave(-np.cos(np.pi * minutes_up / 1440), peak)
    half = minutes_up / 2
    expected = [peak - half, peak + half, peak + 1440 - half, peak + 1440 + half]
    assert_allclose(minutes(found.when_utc), expected, rtol=0, atol=0.5 / 60)


@pytest.mark.parametrize("peak", [2.0, 25.0, 58.0])
def test_a_short_appearance_in_the_first_or_the_last_hour_is_caught(peak: float) -> None:
    half = 1.5
    height = -np.cos(np.pi * 2 * half / 1440)
    first = minutes(wave(height, peak).when_utc)
    assert_allclose(first, [peak - half, peak + half, peak + 1440 - half, peak + 1440 + half], atol=0.5 / 60)
    last = minutes(wave(height, 2880 - peak).when_utc)
    assert_allclose(last[-2:], [2880 - peak - half, 2880 - peak + half], atol=0.5 / 60)


def test_an_appearance_that_the_beginning_cuts_has_its_end_alone() -> None:
    found = wave(-np.cos(np.pi * 20 / 1440), 5.0)  # up from 5 minutes before the beginning to 15 after it
    assert_allclose(minutes(found.when_utc)[:1], [15.0], atol=0.5 / 60)
    assert not found.upward[0]


@pytest.mark.parametrize("height", [1.001, -1.001, np.nan])
def test_no_zeros_are_made_up(height: float) -> None:
    assert wave(height).when_utc.size == 0


def test_a_short_span_is_sampled_at_its_ends_at_least() -> None:
    found = crossings(lambda when: minutes(when) - 0.25, START, 0.5 / 60)
    assert_allclose(minutes(found.when_utc), [0.25], atol=1e-3)
