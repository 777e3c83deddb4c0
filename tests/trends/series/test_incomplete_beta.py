"""The beta distribution against closed forms by hand, against scipy, and against what must hold for any."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.special import betainc, betaincinv

from obslog.trends.series.incomplete_beta import beta_below, beta_quantile

weights = st.floats(0.05, 3000)


@pytest.mark.parametrize(
    ("a", "b", "x", "expected"),
    [
        (1, 1, 0.3, 0.3),  # uniform
        (3, 1, 0.4, 0.4**3),
        (1, 4, 0.2, 1 - 0.8**4),
        (2, 2, 0.25, 3 * 0.25**2 - 2 * 0.25**3),
        (0.5, 0.5, 0.25, 2 / np.pi * np.arcsin(0.5)),  # the arcsine law
        (7, 7, 0.5, 0.5),
        (2, 5, 0, 0),
        (2, 5, 1, 1),
    ],
)
def test_probabilities_are_those_of_the_closed_forms(a: float, b: float, x: float, expected: float) -> None:
    assert_allclose(beta_below(a, b, x), expected, rtol=1e-13)


@given(weights, weights, st.floats(0, 1))
def test_probabilities_are_those_of_scipy(a: float, b: float, x: float) -> None:
    assert_allclose(beta_below(a, b, x), betainc(a, b, x), rtol=1e-9, atol=1e-12)


@given(st.floats(0.2, 3000), st.floats(0.2, 3000), st.floats(0.001, 0.999))
def test_quantiles_are_those_of_scipy_and_lead_back(a: float, b: float, probability: float) -> None:
    found = beta_quantile(a, b, probability)
    assert_allclose(found, betaincinv(a, b, probability), rtol=1e-9, atol=1e-12)
    if 1e-12 < found < 1 - 1e-12:
        assert_allclose(beta_below(a, b, found), probability, rtol=1e-6)


def test_arrays_keep_their_shape() -> None:
    assert beta_below(np.ones((2, 3)), 2.0, 0.1).shape == (2, 3)
    assert beta_quantile(np.ones(4), np.ones(4), 0.5).tolist() == pytest.approx([0.5] * 4)
