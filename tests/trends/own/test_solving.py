"""The eliminated equations against the same model written out with dense matrices, and against statsmodels."""

import numpy as np
import pytest
import statsmodels.api as sm
from numpy.random import Generator, default_rng
from numpy.testing import assert_allclose
from numpy.typing import NDArray

from obslog.trends.own.club_setups import ClubSetups, club_setups
from obslog.trends.own.solving import SEASON_SD, TEMPERATURE_SD, DesignMatrix, Spreads, solve

SPREADS = Spreads(rest=0.25, observer=0.3, site=0.15, rho=0.35)
ERA = np.repeat([0, 1, 2, 3], [7, 12, 1, 9])


def some_setups(rng: Generator) -> ClubSetups:
    count = ERA.size
    years = np.concatenate([np.sort(rng.uniform(2023, 2026, int(n))) for n in np.bincount(ERA)])
    observers = [["Ines", "Bram", "Odo", None][k] for k in rng.integers(0, 4, count)]
    sites = [["Tarn", "Mill Field"][k] for k in rng.integers(0, 2, count)]
    tubes = rng.integers(0, 3, count)
    return club_setups(
        years,
        2 + rng.normal(size=count),
        rng.uniform(0.15, 0.5, count),
        era=ERA.tolist(),
        observer=observers,
        site=sites,
        temperature_c=np.where(rng.random(count) < 0.2, np.nan, rng.normal(5, 6, count)),
        tube=[
            ["Long tube", "Short tube", None][k] if era % 2 else "Long tube"
            for era, k in zip(ERA, tubes, strict=True)
        ],
    )


def dense(
    setups: ClubSetups, weights: NDArray[np.float64], spreads: Spreads = SPREADS
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The fixed columns (level and slope of each era) and the whole covariance of the set-ups."""
    count = setups.count
    fixed = np.zeros((count, 8))
    fixed[np.arange(count), ERA] = 1
    fixed[np.arange(count), 4 + ERA] = setups.years - np.array(
        [setups.years[era == ERA].mean() for era in ERA]
    )
    fixed = np.delete(fixed, 6, axis=1)  # an era of one set-up has no slope

    def alike(codes: NDArray[np.intp]) -> NDArray[np.float64]:
        return np.asarray((codes[:, None] == codes) & (codes[:, None] >= 0), float)

    nobody = (setups.observer < 0) * spreads.observer**2
    own = (spreads.rest**2 + setups.log_sd**2 + nobody) / weights - spreads.rest**2
    place = np.arange(count)
    near = spreads.rho ** np.abs(place[:, None] - place) * (ERA[:, None] == ERA)
    turn = 2 * np.pi * setups.years
    warmth = np.nan_to_num(setups.temperature_c - np.nanmean(setups.temperature_c))
    covariance = (
        np.diag(own)
        + spreads.rest**2 * near
        + spreads.observer**2 * alike(setups.observer)
        + spreads.site**2 * alike(setups.site)
        + spreads.tube**2 * alike(setups.tube)
        + SEASON_SD**2 * np.cos(turn[:, None] - turn)
        + TEMPERATURE_SD**2 * np.outer(warmth, warmth)
    )
    return fixed, covariance


@pytest.mark.parametrize("seed", [1, 2])
def test_the_slopes_and_their_covariance_are_those_of_generalised_least_squares(seed: int) -> None:
    rng = default_rng(seed)
    setups = some_setups(rng)
    weights = np.where(rng.random(setups.count) < 0.1, 0.05, 1.0)
    fixed, covariance = dense(setups, weights)
    theirs = sm.GLS(setups.log_error, fixed, sigma=covariance).fit()
    ours = solve(DesignMatrix.of(setups), SPREADS, weights)
    slopes = [0, 1, 3]
    assert_allclose(ours.own[slopes, 1], theirs.params[4:], rtol=2e-3, atol=1e-3)
    assert_allclose(ours.own[:, 0], theirs.params[:4], rtol=2e-3)
    spread = np.diag(theirs.normalized_cov_params)[4:]
    assert_allclose((ours.own_block + ours.shared_block)[slopes, 1, 1], spread, rtol=2e-3)


def test_the_criterion_is_the_restricted_likelihood_up_to_a_constant() -> None:
    setups = some_setups(default_rng(3))
    terms, ones = DesignMatrix.of(setups), np.ones(setups.count)

    def theirs(spreads: Spreads) -> float:
        fixed, covariance = dense(setups, ones, spreads)
        inverse = np.linalg.inv(covariance)
        told = fixed.T @ inverse @ fixed
        left = setups.log_error - fixed @ np.linalg.solve(told, fixed.T @ inverse @ setups.log_error)
        return float(np.linalg.slogdet(covariance)[1] + np.linalg.slogdet(told)[1] + left @ inverse @ left)

    one, other = SPREADS, Spreads(rest=0.4, observer=0.1, site=0.3, rho=0.1)
    ours = solve(terms, one, ones).criterion - solve(terms, other, ones).criterion
    assert_allclose(ours, theirs(one) - theirs(other), rtol=1e-3)
