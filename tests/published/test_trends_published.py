"""Trend tests and least squares against published values; the source stands beside each.

The robust fits published for the stack loss data (Huber's in Venables and Ripley's MASS, least absolute deviations)
have no counterpart: the program's robust slope is Theil and Sen's, and its fit of pointing allows for wrong arrivals.
"""

import numpy as np
from numpy.testing import assert_allclose
from scipy.stats import norm

from obslog.trends.series.rank_tests import mann_kendall
from obslog.trends.series.regression import linear_fit
from obslog.trends.series.theil_sen import theil_sen_slope
from tests.published.published_tables import numbers


def test_slope_and_exact_p_of_hollander_and_wolfe() -> None:
    # M. Hollander, D. A. Wolfe, E. Chicken, Nonparametric Statistical Methods, example 9.1: slope -0.0562 (from
    # memory), S = -6, exact two-sided p 0.2333 = 28/120.
    x, y = np.arange(1, 6), [1.26, 1.27, 1.12, 1.16, 1.03]
    slope, test = theil_sen_slope(x, y), mann_kendall(y)
    assert slope is not None
    assert test is not None
    assert_allclose(slope.per_year.value, -0.0562, atol=1e-4)
    assert test.s == -6
    assert_allclose([test.p, slope.p], 28 / 120, rtol=1e-9)


def test_intercept_by_medians_depends_on_where_x_begins() -> None:
    # median(y) - slope median(x): 1.32875 for x = 1..5, 1.2725 for x = 0..4 (the two conventions in use).
    y = [1.26, 1.27, 1.12, 1.16, 1.03]
    for first, intercept in ((1, 1.32875), (0, 1.2725)):
        slope = theil_sen_slope(np.arange(first, first + 5), y)
        assert slope is not None
        assert_allclose(np.median(y) - slope.per_year.value * (first + 2), intercept, atol=1e-9)


def test_mann_kendall_with_a_tie_of_the_rule_sheet() -> None:
    # Wisconsin Department of Natural Resources, Mann-Kendall rule sheet, table A: S = -5. The variance with one tie
    # of two among five is (5 4 15 - 2 1 9) / 18 = 15.667 (Kendall 1970).
    test = mann_kendall([100, 50, 85, 75, 50])
    assert test is not None
    assert test.s == -5
    assert_allclose(test.variance, 282 / 18, rtol=1e-12)
    assert_allclose(test.p, 2 * norm.sf(4 / np.sqrt(282 / 18)), rtol=1e-12)


def test_norris_to_its_certified_digits() -> None:
    # NIST StRD, linear least squares, Norris.
    table = numbers("nist_norris.csv")
    fit = linear_fit(np.column_stack([np.ones(table["x"].size), table["x"]]), table["y"])
    assert fit is not None
    assert_allclose(fit.coefficients, [-0.262323073774029, 1.00211681802045], rtol=1e-10)
    assert_allclose(fit.sd, [0.232818234301152, 0.429796848199937e-3], rtol=1e-10)
    assert_allclose(np.sqrt(fit.residual_squares / fit.freedom), 0.884796396144373, rtol=1e-10)


def test_pontius_to_its_certified_digits() -> None:
    # NIST StRD, linear least squares, Pontius: a parabola over x up to three million.
    table = numbers("nist_pontius.csv")
    fit = linear_fit(np.vander(table["x"], 3, increasing=True), table["y"])
    assert fit is not None
    certified = [0.673565789473684e-3, 0.732059160401003e-6, -0.316081871345029e-14]
    assert_allclose(fit.coefficients, certified, rtol=1e-8)
    assert_allclose(fit.sd, [0.107938612033077e-3, 0.157817399981659e-9, 0.486652849992036e-16], rtol=1e-8)
    assert_allclose(np.sqrt(fit.residual_squares / fit.freedom), 0.205177424076185e-3, rtol=1e-8)


def test_longley_to_its_certified_digits() -> None:
    # NIST StRD, linear least squares, Longley: columns that nearly depend on each other.
    table = numbers("nist_longley.csv")
    names = ["GNPDEFL", "GNP", "UNEMP", "ARMED", "POP", "YEAR"]
    fit = linear_fit(np.column_stack([np.ones(16), *(table[name] for name in names)]), table["TOTEMP"])
    assert fit is not None
    certified = [
        -3482258.63459582, 15.0618722713733, -0.358191792925910e-1, -2.02022980381683, -1.03322686717359,
        -0.511041056535807e-1, 1829.15146461355,
    ]  # fmt: skip
    certified_sd = [
        890420.383607373, 84.9149257747669, 0.334910077722432e-1, 0.488399681651699, 0.214274163161675,
        0.226073200069370, 455.478499142212,
    ]  # fmt: skip
    assert_allclose(fit.coefficients, certified, rtol=1e-7)
    assert_allclose(fit.sd, certified_sd, rtol=1e-7)
    assert_allclose(np.sqrt(fit.residual_squares / fit.freedom), 304.854073561965, rtol=1e-7)


def test_weighted_fit_of_the_gsl_manual() -> None:
    # GNU Scientific Library reference manual, weighted linear fit (digits from memory): weights 1 / sd^2.
    x, y, weights = np.array([1970.0, 1980, 1990, 2000]), [12, 11, 14, 13], np.array([0.1, 0.2, 0.3, 0.4])
    fit = linear_fit(np.column_stack([np.ones(4), x]), y, 1 / np.sqrt(weights))
    assert fit is not None
    assert_allclose(fit.coefficients, [-106.6, 0.06], rtol=1e-9)
    assert_allclose(fit.covariance, [[39602, -19.9], [-19.9, 0.01]], rtol=1e-9)
    assert_allclose(fit.residual_squares, 0.8, rtol=1e-9)


def test_plain_least_squares_of_the_stack_loss() -> None:
    # K. A. Brownlee, Statistical Theory and Methodology (1965), p. 454: the fit quoted in many texts.
    table = numbers("stackloss.csv")
    names = ["AIRFLOW", "WATERTEMP", "ACIDCONC"]
    fit = linear_fit(np.column_stack([np.ones(21), *(table[name] for name in names)]), table["STACKLOSS"])
    assert fit is not None
    assert_allclose(fit.coefficients, [-39.91967, 0.71564, 1.29529, -0.15212], rtol=1e-4)
