"""Variance components against published values; the source stands beside each.

Variances by plain maximum likelihood (1388.33 for the dyestuff's batches in D. Bates, lme4, ch. 1) have no counterpart:
the program fits by restricted likelihood alone.
"""

import numpy as np
from numpy.testing import assert_allclose

from obslog.trends.attribution.crossed import CrossedData, evaluate
from obslog.trends.attribution.reml import fit_variances
from tests.published.published_tables import columns


def one_way(values: list[str], groups: list[str]) -> CrossedData:
    names, codes = np.unique(groups, return_inverse=True)
    y = np.array(values, float)
    return CrossedData(
        values=y,
        known_variance=np.zeros(y.size),
        fixed=np.ones((y.size, 1)),
        codes=[codes],
        sizes=[names.size],
    )


def test_dyestuff() -> None:
    # O. L. Davies, P. L. Goldsmith, Statistical Methods in Research and Production, 1972; D. Bates, lme4, ch. 1.
    # Balanced, so that REML equals the analysis of variance: 1764.05 and 2451.25; -2 log L 319.654 (from memory).
    table = columns("dyestuff.csv")
    data = one_way(table["yield"], table["batch"])
    means = np.array(table["yield"], float).reshape(6, 5).mean(axis=1)
    assert_allclose(
        5 * means.var(ddof=1), 11271.5, rtol=1e-9
    )  # the published mean square between, of this very table
    found = fit_variances(data)
    assert_allclose(found.values[1] + 5 * found.values[0], 11271.5, rtol=1e-9)
    assert_allclose(found.values, [1764.05, 2451.25], rtol=1e-9)
    assert_allclose(found.criterion, 319.654, atol=1e-3)
    assert_allclose(evaluate(data, found.values).fixed, 1527.5, rtol=1e-9)
    assert found.determined.all()
    # The expected information of a balanced one-way layout gives 2 MSW^2 / 24 and so on (Searle, Casella, McCulloch,
    # Variance Components, 1992, section 4.3): var(within) = 2 2451.25^2 / 24, var(between) = 2/25 (MSB^2/5 + MSW^2/24).
    within, between = 2 * 2451.25**2 / 24, 2 / 25 * (11271.5**2 / 5 + 2451.25**2 / 24)
    assert_allclose(np.diag(found.covariance), [between, within], rtol=1e-4)
    assert_allclose(found.covariance[0, 1], -within / 5, rtol=1e-4)


def test_shrunken_effects_of_the_dyestuff_batches() -> None:
    # By definition: each batch's mean less 1527.5, times 5 x 1764.05 / (5 x 1764.05 + 2451.25).
    table = columns("dyestuff.csv")
    data = one_way(table["yield"], table["batch"])
    means = np.array(table["yield"], float).reshape(6, 5).mean(axis=1)
    shrinkage = 5 * 1764.05 / (5 * 1764.05 + 2451.25)
    assert_allclose(
        evaluate(data, fit_variances(data).values).effects[0], shrinkage * (means - 1527.5), rtol=1e-5
    )


def test_silicon_resistivity() -> None:
    # NIST StRD, analysis of variance, SiRstv (certified): mean squares 1.27865654e-2 between, 1.08318280e-2 within,
    # F 1.18046237440255. From those: within variance 0.010831828, between variance (MSB - MSW)/5 = 3.9094748e-4.
    table = columns("nist_sirstv.csv")
    between, within = fit_variances(one_way(table["value"], table["instrument"])).values
    assert_allclose(within, 0.010831828, rtol=1e-8)
    assert_allclose(between, 3.9094748e-4, rtol=1e-6)
    assert_allclose((within + 5 * between) / within, 1.18046237440255, rtol=1e-8)
    assert_allclose(between / (between + within), 0.0348352, rtol=2e-6)
