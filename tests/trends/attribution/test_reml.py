"""Crossed random effects against a dense likelihood, statsmodels, and closed forms."""

import warnings

import numpy as np
import pytest
from numpy.random import Generator, default_rng
from numpy.testing import assert_allclose
from scipy.optimize import minimize

from obslog.trends.attribution.crossed import CrossedData, evaluate
from obslog.trends.attribution.reml import expected_information, fit_variances
from obslog.trends.attribution.shrinkage import shrunken_effects

SIZES = (8, 12, 3)


def crossed(
    rng: Generator, count: int = 90, known: bool = True, sizes: tuple[int, ...] = SIZES
) -> CrossedData:
    codes = [rng.integers(0, size, count) for size in sizes]
    values = sum(
        (0.4 * rng.normal(size=size)[code] for size, code in zip(sizes, codes, strict=True)),
        0.3 * rng.normal(size=count),
    )
    sd = rng.uniform(0.1, 0.5, count) if known else np.zeros(count)
    return CrossedData(
        values=values + sd * rng.normal(size=count),
        known_variance=sd**2,
        fixed=np.ones((count, 1)),
        codes=codes,
        sizes=list(sizes),
    )


def dense_criterion(data: CrossedData, variances: np.ndarray) -> float:
    """-2 log restricted likelihood from the full covariance matrix, written down from its definition."""
    count, terms = data.fixed.shape
    v = np.diag(data.known_variance + variances[-1])
    for code, variance in zip(data.codes, variances, strict=False):
        same = (code[:, None] == code) & (code >= 0)
        v += variance * (same | np.eye(count, dtype=bool))
    inverse = np.linalg.inv(v)
    information = data.fixed.T @ inverse @ data.fixed
    beta = np.linalg.solve(information, data.fixed.T @ inverse @ data.values)
    residual = data.values - data.fixed @ beta
    logs = np.linalg.slogdet(v)[1] + np.linalg.slogdet(information)[1]
    return float(logs + residual @ inverse @ residual + (count - terms) * np.log(2 * np.pi))


@pytest.mark.parametrize("seed", range(5))
def test_criterion_and_gradient_equal_the_dense_ones(seed: int) -> None:
    rng = default_rng(seed)
    data = crossed(rng)
    data.codes[1][:7] = -1
    data.codes[2][5:9] = -1
    fixed = np.column_stack([np.ones(90), rng.normal(size=90)])
    data = CrossedData(
        values=data.values,
        known_variance=data.known_variance,
        fixed=fixed,
        codes=data.codes,
        sizes=data.sizes,
    )
    at = rng.uniform(0.05, 0.5, 4)
    found = evaluate(data, at)
    assert_allclose(found.criterion, dense_criterion(data, at), rtol=1e-10)
    steps = 1e-5 * np.eye(4)
    slopes = [(dense_criterion(data, at + s) - dense_criterion(data, at - s)) / 2e-5 for s in steps]
    assert_allclose(found.gradient, slopes, rtol=1e-4, atol=1e-4)


def test_fit_with_known_variances_equals_a_dense_search() -> None:
    data = crossed(default_rng(11))
    found = fit_variances(data)
    best = min(
        (
            minimize(lambda sd: dense_criterion(data, sd**2), start, method="Nelder-Mead",
                     options={"xatol": 1e-7, "fatol": 1e-10, "maxiter": 4000, "maxfev": 4000})
            for start in (np.full(4, 0.3), np.array([0.5, 0.2, 0.4, 0.2]))
        ),
        key=lambda result: result.fun,
    )  # fmt: skip
    assert_allclose(found.criterion, best.fun, atol=1e-6)
    assert_allclose(found.values, best.x**2, rtol=1e-3)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_crossed_variances_are_those_of_statsmodels(seed: int) -> None:
    import pandas
    from statsmodels.regression.mixed_linear_model import MixedLM

    data = crossed(default_rng(seed), known=False)
    table = pandas.DataFrame({"y": data.values, **{f"f{k}": code for k, code in enumerate(data.codes)}})
    model = MixedLM.from_formula(
        "y ~ 1", table, groups=np.ones(90), vc_formula={f"f{k}": f"0 + C(f{k})" for k in range(3)}
    )
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        theirs = model.fit(reml=True, method=["lbfgs", "bfgs"])
    ours = fit_variances(data)
    assert theirs.converged
    assert ours.criterion <= -2 * theirs.llf + 1e-6
    assert_allclose(ours.values, [*theirs.vcomp, theirs.scale], rtol=1e-3)
    effects = evaluate(data, np.array([*theirs.vcomp, theirs.scale])).effects
    assert_allclose(
        np.concatenate(effects), np.asarray(next(iter(theirs.random_effects.values()))), atol=1e-6
    )


@pytest.mark.parametrize("seed", [4, 5, 6])
def test_one_way_variances_are_those_of_statsmodels(seed: int) -> None:
    from statsmodels.regression.mixed_linear_model import MixedLM

    data = crossed(default_rng(seed), known=False, sizes=(9,))
    theirs = MixedLM(data.values, data.fixed, data.codes[0]).fit(reml=True)
    ours = fit_variances(data)
    assert_allclose(ours.values, [float(theirs.cov_re[0, 0]), theirs.scale], rtol=1e-3)


def test_a_variance_that_would_be_negative_is_zero_and_not_determined() -> None:
    # Group means that differ less than chance makes them: the analysis of variance gives a between variance under zero.
    values = np.tile([-1.0, 0.0, 1.0], 5)
    data = CrossedData(
        values=values,
        known_variance=np.zeros(15),
        fixed=np.ones((15, 1)),
        codes=[np.repeat(np.arange(5), 3)],
        sizes=[5],
    )
    found = fit_variances(data)
    assert found.values[0] == 0
    assert list(found.determined) == [False, True]
    # With nothing between, the variance is that of all fifteen: ten ones by fourteen.
    assert_allclose(found.values[1], 10 / 14, rtol=1e-6)
    assert found.covariance[0, 0] > 0


def test_a_component_of_zero_leaves_its_effects_uncertain() -> None:
    values = np.tile([-1.0, 0.0, 1.0], 5)
    data = CrossedData(
        values=values,
        known_variance=np.zeros(15),
        fixed=np.ones((15, 1)),
        codes=[np.repeat(np.arange(5), 3)],
        sizes=[5],
    )
    found = shrunken_effects(data, fit_variances(data))
    assert_allclose(found.effects[0], 0, atol=1e-9)
    assert (np.sqrt(found.variances[0]) > 0.05).all()


def test_a_well_known_variance_gives_the_usual_shrunken_effects() -> None:
    data = crossed(default_rng(12), count=6000, sizes=(150,))
    found = fit_variances(data)
    usual = evaluate(data, found.values)
    ours = shrunken_effects(data, found)
    assert_allclose(ours.effects[0], usual.effects[0], atol=2e-3)
    assert_allclose(ours.variances[0], usual.effect_variances[0], rtol=0.02)


def test_two_factors_that_are_one_are_not_determined() -> None:
    rng = default_rng(7)
    who = rng.integers(0, 8, 60)
    values = 0.5 * rng.normal(size=8)[who] + 0.2 * rng.normal(size=60)
    found = fit_variances(
        CrossedData(
            values=values, known_variance=np.zeros(60), fixed=np.ones((60, 1)), codes=[who, who], sizes=[8, 8]
        )
    )
    alone = fit_variances(
        CrossedData(
            values=values, known_variance=np.zeros(60), fixed=np.ones((60, 1)), codes=[who], sizes=[8]
        )
    )
    assert list(found.determined) == [False, False, True]
    assert np.isnan(found.covariance[0, 0])
    assert_allclose(found.values[0] + found.values[1], alone.values[0], rtol=1e-3)


def test_information_is_that_of_the_definition() -> None:
    # Half the trace of P V_k P V_l, from dense matrices (Searle, Casella, McCulloch 1992, section 6.6).
    data = crossed(default_rng(9))
    at = np.array([0.2, 0.1, 0.3, 0.15])
    parts = [(code[:, None] == code).astype(float) for code in data.codes] + [np.eye(90)]
    v = np.diag(data.known_variance) + sum(variance * part for variance, part in zip(at, parts, strict=True))
    inverse = np.linalg.inv(v)
    ones = inverse.sum(axis=1)
    p = inverse - np.outer(ones, ones) / ones.sum()
    exact = [[np.trace(p @ a @ p @ b) / 2 for a in parts] for b in parts]
    assert_allclose(expected_information(data, at), exact, rtol=1e-4)


def test_units_do_not_matter() -> None:
    data = crossed(default_rng(10))
    scaled = CrossedData(
        values=1e3 * data.values + 5,
        known_variance=1e6 * data.known_variance,
        fixed=data.fixed,
        codes=data.codes,
        sizes=data.sizes,
    )
    assert_allclose(fit_variances(scaled).values, 1e6 * fit_variances(data).values, rtol=1e-4)
