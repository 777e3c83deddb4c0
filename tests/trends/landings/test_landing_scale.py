"""Landing errors: closed forms, brute force, one-sided data, and the coverage of their intervals."""

import os

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.random import default_rng
from numpy.testing import assert_allclose, assert_array_equal
from scipy.integrate import quad
from scipy.stats import chi2, rayleigh

from obslog.trends.landings.intervals_from_words import says_centred, word_distances_arcmin
from obslog.trends.landings.landing_scale import chance_inside, chance_inside_sd, landing_errors
from tests.known import known
from tests.trends.series.trend_simulations import landing_coverage, misread_in, words_of

SIMULATED = 5000 if os.environ.get("OBSLOG_SLOW") else 500


def test_words_become_distances_by_the_rule() -> None:
    words = ["centred", "in", "edge", "finder", "lost", None]
    low, high = word_distances_arcmin(words, 40.0)
    # The rule: a quarter of the field's radius; inside it; 0.75 to 1.1 of it; the finder's 2.5 degrees; beyond.
    assert_allclose(low, [0, 0, 15, 20, 150, np.nan])
    assert_allclose(high, [5, 20, 22, 150, np.inf, np.nan])


def test_a_word_whose_field_is_not_known_says_nothing_but_the_finder_still_does() -> None:
    low, high = word_distances_arcmin(["centred", "in", "edge", "finder", "lost"], np.nan, 120.0)
    assert_allclose(low, [np.nan, np.nan, np.nan, 0, 120])
    assert_allclose(high, [np.nan, np.nan, np.nan, 120, np.inf])


def test_a_field_as_wide_as_the_finders_leaves_nothing_between_them() -> None:
    low, high = word_distances_arcmin(["finder"], 400.0)
    assert np.isnan(low).all()
    assert np.isnan(high).all()


def test_measured_distances_give_the_closed_form() -> None:
    # N. L. Johnson, S. Kotz, N. Balakrishnan (1994): sum r^2 / scale^2 is chi-squared with 2n degrees of freedom.
    rng = default_rng(2)
    count = 40
    east, north = rng.normal(scale=7.0, size=(2, count))
    distance = np.hypot(east, north)
    ours = landing_errors(np.zeros(count, int), distance, distance, 1)
    scale = np.sqrt(np.sum(distance**2) / (2 * count))
    assert_allclose(ours.half_arcmin, scale * rayleigh.median(), rtol=1e-8)
    ends = np.sqrt(np.sum(distance**2) / chi2.ppf([0.975, 0.025], 2 * count)) * rayleigh.median()
    assert_allclose([ours.low_arcmin[0], ours.high_arcmin[0]], ends, rtol=0.02)
    assert_allclose(ours.log_sd, 0.5 / np.sqrt(count), rtol=1e-5)


def test_mixed_data_agree_with_brute_force() -> None:
    rng = default_rng(5)
    for _ in range(8):
        count = int(rng.integers(2, 9))
        distance = rng.rayleigh(12.0, count)
        low, high = word_distances_arcmin(words_of(distance, 45.0), 45.0)
        measured = rng.random(count) < 0.5
        measured[0] = True
        low, high = np.where(measured, distance, low), np.where(measured, distance, high)
        ours = landing_errors(np.zeros(count, int), low, high, 1, resolution_arcmin=0.0)
        # Brute force: every scale on a fine grid; the chance of an interval by integrating Rayleigh's density.
        scales = np.geomspace(1.0, 200.0, 700)
        log_l = np.array([_slow_log_likelihood(s, low, high) for s in scales])
        best = int(np.argmax(log_l))
        inside = scales[log_l > log_l[best] - chi2.ppf(0.95, 1) / 2]
        half = rayleigh.median()
        assert_allclose(ours.half_arcmin[0], half * scales[best], rtol=0.009)
        assert_allclose(ours.low_arcmin[0], half * inside[0], rtol=0.009)
        assert_allclose(ours.high_arcmin[0], half * inside[-1], rtol=0.009)


def _slow_log_likelihood(scale: float, low: np.ndarray, high: np.ndarray) -> float:
    def density(r: float) -> float:
        return float(r / scale**2 * np.exp(-(r**2) / 2 / scale**2))

    chances = [density(a) if a == b else quad(density, a, b)[0] for a, b in zip(low, high, strict=True)]
    with np.errstate(divide="ignore"):
        return float(np.sum(np.log(chances)))


def test_many_setups_at_once_equal_each_alone() -> None:
    rng = default_rng(6)
    setup = rng.integers(0, 30, 200)
    distance = rng.rayleigh(10, 200)
    low, high = word_distances_arcmin(words_of(distance, 30), 30.0)
    together = landing_errors(setup, low, high, 31)
    for place in range(30):
        mine = setup == place
        alone = landing_errors(np.zeros(mine.sum(), int), low[mine], high[mine], 1)
        assert_allclose(together.half_arcmin[place], alone.half_arcmin[0], rtol=1e-7)
        assert_allclose(together.high_arcmin[place], alone.high_arcmin[0], rtol=1e-7)
    assert together.interval(30) is None
    assert np.isnan(together.half_arcmin[30])


def test_one_arrival_gives_a_wide_interval_and_none_gives_none() -> None:
    one = landing_errors([0], [8.0], [8.0], 2)
    assert one.high_arcmin[0] > 4 * one.half_arcmin[0]
    assert one.low_arcmin[0] < one.half_arcmin[0] / 2 * 1.2
    assert one.interval(1) is None
    assert_array_equal(one.count, [1, 0])
    assert landing_errors([], [], [], 3).interval(2) is None


def test_landings_that_were_all_centred_bound_the_error_from_above_only() -> None:
    # P(inside 5') ** 4 = 1/2 gives the value, 1/40 the upper end: with a larger radius such data are rarer than that.
    errors = landing_errors([0] * 4, [0.0] * 4, [5.0] * 4, 1)
    interval = errors.interval(0)
    assert interval is not None
    assert interval.low is None
    for end, chance in ((interval.value, 0.5), (known(interval.high), 1 / 40)):
        assert_allclose(chance_inside(end, 10.0) ** 4, chance, rtol=1e-6)


def test_objects_that_were_all_lost_bound_the_error_from_below_only() -> None:
    interval = landing_errors([0, 0], [150.0] * 2, [np.inf] * 2, 1).interval(0)
    assert interval is not None
    assert interval.high is None
    assert interval.low is not None
    for end, chance in ((interval.value, 0.5), (interval.low, 1 / 40)):
        assert_allclose((1 - chance_inside(end, 300.0)) ** 2, chance, rtol=1e-6)


@pytest.mark.parametrize("arrivals", [1, 2, 5, 20])
@pytest.mark.parametrize("ends", [(0.0, 5.0), (150.0, np.inf)], ids=["centred", "lost"])
def test_words_that_bound_the_error_on_one_side_tell_no_more_than_measured_arrivals(
    arrivals: int, ends: tuple[float, float]
) -> None:
    """Measured, the sd is 1 / sqrt(4 m). By hand 1 - 2^-(1/5.23)^2 is 1/40: of one "centred" it is ln(5.23)/1.96."""
    setup = [0] * arrivals
    told = landing_errors(setup, [ends[0]] * arrivals, [ends[1]] * arrivals, 1)
    assert told.log_sd[0] >= 0.5 / np.sqrt(arrivals)
    if arrivals == 1:
        assert_allclose(told.log_sd[0], 0.844 if np.isfinite(ends[1]) else 0.5, rtol=1e-3)


def test_an_offset_measured_as_nothing_is_only_known_to_the_resolution() -> None:
    nothing = landing_errors([0, 0], [0.0, 0.0], [0.0, 0.0], 1)
    assert 0 < nothing.half_arcmin[0] < 0.5
    assert np.isnan(nothing.low_arcmin[0])


def test_half_of_the_landings_are_inside_the_half_landing_radius() -> None:
    assert_allclose(chance_inside(10.0, 20.0), 0.5, rtol=1e-12)
    assert_allclose(
        chance_inside([5.0, np.nan], 30.0), [rayleigh.cdf(15, scale=5 / rayleigh.median()), np.nan]
    )


def test_the_chance_is_known_as_well_as_its_slope_by_the_radius_says() -> None:
    """Its exact change between radii a thousandth of an sd to either side, over the thousandth."""
    half, log_sd, field = np.array([3.0, 10.0, 40.0]), np.array([0.2, 0.5, 0.3]), 20.0
    nearer, farther = (chance_inside(half * np.exp(side * 0.001 * log_sd), field) for side in (-1, 1))
    assert_allclose(chance_inside_sd(half, log_sd, field), (nearer - farther) / 0.002, rtol=1e-5)


@pytest.mark.parametrize(("arrivals", "share_measured"), [(1, 1.0), (5, 1.0), (5, 0.4), (12, 0.0)])
def test_intervals_cover_the_truth(arrivals: int, share_measured: float) -> None:
    covered = landing_coverage(default_rng(arrivals), arrivals, share_measured, SIMULATED)
    assert_allclose(covered, 0.95, atol=0.02 + 2 * np.sqrt(0.95 * 0.05 / SIMULATED))


def test_an_in_of_those_who_say_centred_is_not_centred() -> None:
    low, high = word_distances_arcmin(["in", "in"], 40.0, centred_is_said=[True, False])
    assert_allclose(low, [5, 0])
    assert_allclose(high, [20, 20])
    assert_array_equal(says_centred(["Ada", "Ben", "Ada"], ["centred", "in", "in"]), [True, False, True])


def test_an_in_that_is_understood_gives_the_truth_and_one_that_is_misread_does_not() -> None:
    understood, misread = misread_in(default_rng(12), 6.0, 12, 500)
    assert_allclose(understood, 1.0, atol=0.1)
    assert misread < 0.7


@given(
    distance=st.lists(st.floats(0.6, 400), min_size=1, max_size=12),
    factor=st.floats(1.0, 50),
)
def test_twice_the_distances_are_twice_the_landing_error(distance: list[float], factor: float) -> None:
    low, high = np.array(distance), np.array(distance) * np.where(np.arange(len(distance)) % 2, 1.5, 1.0)
    one = landing_errors(np.zeros(low.size, int), low, high, 1)
    other = landing_errors(np.zeros(low.size, int), factor * low, factor * high, 1)
    assert_allclose(other.half_arcmin, factor * one.half_arcmin, rtol=1e-6)
    assert_allclose(other.log_sd, one.log_sd, rtol=1e-4)
    assert one.low_arcmin[0] < one.half_arcmin[0] < one.high_arcmin[0]
