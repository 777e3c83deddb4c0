"""Least squares for small fits: by hand, weighted, and what it refuses."""

import numpy as np
from numpy.random import default_rng
from numpy.testing import assert_allclose

from obslog.trends.series.regression import linear_fit


def test_a_line_through_four_points_by_hand() -> None:
    """x 0 1 2 3, y 1 3 2 4: slope 4 / 5, level 1.3, residuals -0.3 0.9 -0.9 0.3, so squares 1.8 on 2 left over."""
    fit = linear_fit(np.column_stack([np.ones(4), np.arange(4)]), [1, 3, 2, 4])
    assert fit is not None
    assert_allclose(fit.coefficients, [1.3, 0.8])
    assert_allclose((fit.residual_squares, fit.freedom), (1.8, 2))
    # Scatter 0.9 squared units; sum of (x - 1.5)^2 is 5: slope 0.9 / 5, level 0.9 * (1/4 + 1.5^2 / 5), and between.
    assert_allclose(fit.covariance, [[0.9 * (0.25 + 0.45), -0.9 * 1.5 / 5], [-0.9 * 1.5 / 5, 0.9 / 5]])
    assert_allclose(fit.sd, np.sqrt(np.diag(fit.covariance)))


def test_with_the_values_own_sd_the_covariance_is_theirs_whatever_is_left_over() -> None:
    """A mean of values with sd 1 and 2 has weights 4/5 and 1/5, and the variance 1 / (1 + 1/4)."""
    for values in ([10.0, 20.0], [10.0, 2000.0]):
        fit = linear_fit(np.ones((2, 1)), values, [1.0, 2.0])
        assert fit is not None
        assert_allclose(fit.coefficients, [0.8 * values[0] + 0.2 * values[1]])
        assert_allclose(fit.covariance, [[0.8]])


def test_columns_of_very_different_size_are_fitted_as_well() -> None:
    x = default_rng(5).normal(size=12)
    fit = linear_fit(np.column_stack([np.ones(12), 1e9 * x, 1e-9 * x**2]), 2 + 3 * x - x**2)
    assert fit is not None
    assert_allclose(fit.coefficients, [2, 3e-9, -1e9], rtol=1e-9)


def test_least_squares_refuses_columns_that_depend_on_each_other() -> None:
    x = np.arange(6.0)
    assert linear_fit(np.column_stack([x, 2 * x]), x) is None
    assert linear_fit(np.ones((1, 1)), [1.0]) is None
    assert linear_fit(np.zeros((4, 1)), x[:4]) is None
