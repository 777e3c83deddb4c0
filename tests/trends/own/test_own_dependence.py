"""What a mount follows in a way of its own: against generalised least squares, found where it is and not elsewhere."""

import numpy as np
import pytest
import statsmodels.api as sm
from numpy.random import Generator, default_rng
from numpy.testing import assert_allclose
from numpy.typing import NDArray

from obslog.trends.own.club_model import ClubModel, fit_club
from obslog.trends.own.club_setups import ClubSetups, club_setups
from obslog.trends.own.own_dependence import SlopesKnown, own_dependences
from obslog.trends.own.own_trend import own_trends

MOUNTS, NIGHTS, SD = 10, 24, 0.18
Array = NDArray[np.float64]


def a_club(rng: Generator, per_degree: float = 0.0, yearly: float = 0.0, shared: float = 0.0) -> ClubSetups:
    """Mounts once a month for two years; the first follows temperature and season, all follow the shared."""
    years = np.arange(NIGHTS) / 12 + rng.uniform(0, 0.05, (MOUNTS, NIGHTS))
    warmth = 8.0 + 8.0 * np.sin(2 * np.pi * years) + rng.normal(0, 5.0, (MOUNTS, NIGHTS))
    log = 2 + 0.25 * rng.normal(size=(MOUNTS, NIGHTS)) + shared * (warmth - 8.0)
    log[0] += per_degree * (warmth[0] - 8.0) + yearly * np.cos(2 * np.pi * years[0])
    return club_setups(
        years.ravel(), log.ravel(), np.full(log.size, SD), era=np.repeat(np.arange(MOUNTS), NIGHTS).tolist(),
        observer=rng.integers(0, 6, log.size).tolist(), site=[0] * log.size, temperature_c=warmth.ravel(),
    )  # fmt: skip


def found(setups: ClubSetups) -> list[list[str]]:
    return [[one.what for one in trend.follows] for trend in own_trends(fit_club(setups))]


def test_a_mount_that_follows_the_temperature_is_told_and_by_how_much() -> None:
    factors = []
    for seed in range(10):
        first = own_trends(fit_club(a_club(default_rng(seed), per_degree=0.05)))[0]
        factors += [one.factor for one in first.follows if one.what == "temperature"]
    assert len(factors) >= 9
    # 0.05 a degree is a factor of exp(0.5) = 1.65 for ten, of which all mounts together take up a tenth.
    assert_allclose(np.median(factors), np.exp(0.5), rtol=0.12)


def test_a_mount_that_follows_the_season_is_told() -> None:
    assert sum("season" in found(a_club(default_rng(seed), yearly=0.5))[0] for seed in range(10)) >= 9


@pytest.mark.parametrize("shared", [0.0, 0.03])
def test_what_all_mounts_do_together_is_no_mounts_own(shared: float) -> None:
    """Twice 100 looks at one in a hundred: more than 6 would come once in 200."""
    told = [
        what
        for seed in range(10)
        for each in found(a_club(default_rng(40 + seed), shared=shared))
        for what in each
    ]
    assert len(told) <= 6


def by_statsmodels(model: ClubModel) -> tuple[float, float, float]:
    """Slope, dependence and its p by generalised least squares of the first mount, of known covariance."""
    setups, spreads = model.setups, model.spreads
    mine = setups.era == 0
    place = np.arange(NIGHTS)
    near = spreads.rho ** np.abs(place[:, None] - place)
    own = (spreads.rest**2 + setups.log_sd[mine] ** 2) / model.plain[mine] - spreads.rest**2
    covariance = np.diag(own) + spreads.rest**2 * near
    warmth = setups.temperature_c[mine]
    design = np.column_stack([np.ones(NIGHTS), setups.since_middle[mine], warmth - warmth.mean()])
    theirs = sm.GLS(model.adjusted[mine], design, sigma=covariance).fit(cov_type="fixed scale", use_t=False)
    return theirs.params[1], theirs.params[2], theirs.pvalues[2]


def test_slope_and_dependence_are_those_of_generalised_least_squares() -> None:
    model = fit_club(a_club(default_rng(3), per_degree=0.06))
    many = np.full(MOUNTS, 1e6)  # of so many degrees of freedom Student's t is the normal distribution
    known = SlopesKnown(scatter=np.ones(MOUNTS), freedom=many, hidden=np.zeros(MOUNTS))
    (one,) = [each for each in own_dependences(model, known)[0] if each.what == "temperature"]
    slope, dependence, p = by_statsmodels(model)
    assert_allclose(one.per_year.value, slope, rtol=1e-6)
    assert_allclose(np.log(one.factor), 10 * dependence, rtol=1e-6)
    assert_allclose(one.p, p, rtol=1e-3)


def test_few_nights_tell_nothing() -> None:
    rng = default_rng(9)
    few = club_setups(
        np.arange(9) / 3, 2 + 0.1 * np.arange(9), np.full(9, SD), era=[0] * 9, observer=["Ines"] * 9, site=[0] * 9,
        temperature_c=np.arange(9.0) + rng.normal(size=9),
    )  # fmt: skip
    assert found(few) == [[]]


@pytest.mark.parametrize(("nights", "told"), [(9, []), (10, ["temperature"])])
def test_two_set_ups_a_night_are_one_night(nights: int, told: list[str]) -> None:
    """The first of four mounts follows the temperature by 0.1 a degree, twice a night; the others have none of it."""
    rng = default_rng(10)
    own = np.repeat(np.arange(nights) / nights, 2), np.repeat(rng.normal(8, 6, nights), 2)
    years, warmth = np.r_[own[0], np.tile(np.arange(24) / 24, 3)], np.r_[own[1], rng.normal(8, 6, 72)]
    log = 2 + np.r_[0.1 * (own[1] - 8), np.zeros(72)] + 0.1 * rng.normal(size=years.size)
    club = club_setups(
        years, log, np.full(years.size, SD), era=[0] * (2 * nights) + np.repeat([1, 2, 3], 24).tolist(),
        observer=["Ines"] * years.size, site=[0] * years.size, temperature_c=warmth,
    )  # fmt: skip
    assert found(club)[0] == told
