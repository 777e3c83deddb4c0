"""The own trend against packages made elsewhere, on data of which their models hold as well as ours.

Slopes and their uncertainty: the mixed models of statsmodels. Verdicts on nights that hang together: the corrected
rank tests of pymannkendall, which know of one mount and nothing of its users. Sources: K. H. Hamed, A. R. Rao, J.
Hydrol. 204 (1998) 182; S. Yue, C. Wang, Water Resour. Manag. 18 (2004) 201.
"""

from dataclasses import dataclass

import numpy as np
import pandas as pd
import pymannkendall
import pytest
import statsmodels.formula.api as smf
from numpy.random import Generator, default_rng
from numpy.testing import assert_allclose
from numpy.typing import NDArray

from obslog.trends.own.club_model import fit_club
from obslog.trends.own.club_setups import ClubSetups, club_setups
from obslog.trends.own.own_trend import own_trends
from obslog.trends.own.own_verdict import OWN_LEVEL, OwnTrend

MOUNTS, NIGHTS, PEOPLE, CLUBS = 8, 24, 8, 12
KNOWN_SD = 0.1
Array = NDArray[np.float64]


def a_club(rng: Generator, growth: Array, rho: float = 0.0, people_sd: float = 0.3) -> ClubSetups:
    """Mounts every two weeks for eleven months, by anybody: too short for a season, no site, no temperature."""
    years = np.arange(NIGHTS) / 26
    who = rng.integers(0, PEOPLE, (MOUNTS, NIGHTS))
    scatter = rng.normal(size=(MOUNTS, NIGHTS))
    for night in range(1, NIGHTS):
        scatter[:, night] = rho * scatter[:, night - 1] + np.sqrt(1 - rho**2) * scatter[:, night]
    log = (
        2 + rng.normal(0, 0.3, (MOUNTS, 1)) + growth[:, None] * years + rng.normal(0, people_sd, PEOPLE)[who]
    )
    log += 0.25 * scatter + rng.normal(0, KNOWN_SD, log.shape)
    return club_setups(
        np.tile(years, MOUNTS), log.ravel(), np.full(log.size, KNOWN_SD),
        era=np.repeat(np.arange(MOUNTS), NIGHTS).tolist(), observer=who.ravel().tolist(), site=[None] * log.size,
    )  # fmt: skip


def mixed(setups: ClubSetups) -> tuple[Array, Array]:
    """Slope of each mount and its standard error: levels and slopes of mounts fixed, people random (REML)."""
    table = pd.DataFrame(
        {
            "log": setups.log_error, "since": setups.since_middle, "mount": setups.era, "who": setups.observer,
            "all": 1,
        }
    )  # fmt: skip
    model = smf.mixedlm(
        "log ~ 0 + C(mount) + C(mount):since",
        table,
        groups="all",
        vc_formula={"who": "0 + C(who)"},
        re_formula="0",
    )
    found = model.fit(reml=True)
    slopes = [name for name in found.fe_params.index if "since" in name]
    return found.fe_params[slopes].to_numpy(), found.bse_fe[slopes].to_numpy()


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_slopes_and_their_uncertainty_are_those_of_a_mixed_model(seed: int) -> None:
    """Ours leans spreads on what clubs are usually like, weighs what is far out, and lets mounts scatter otherwise.

    So slopes agree within half a standard error each and a fifth of one in the mean square, errors to 15 %.
    """
    growth = np.linspace(-0.6, 0.6, MOUNTS)
    setups = a_club(default_rng(seed), growth)
    theirs, their_sd = mixed(setups)
    trends = own_trends(fit_club(setups))
    ours, our_sd = (np.array(each) for each in zip(*map(slope_and_sd, trends), strict=True))
    assert np.abs(ours - theirs).max() < 0.5 * their_sd.mean()
    assert np.sqrt(np.mean((ours - theirs) ** 2)) < 0.2 * their_sd.mean()
    assert_allclose(our_sd.mean(), their_sd.mean(), rtol=0.15)


def slope_and_sd(trend: OwnTrend) -> tuple[float, float]:
    slope = trend.slope
    assert slope is not None
    assert slope.per_year.low is not None
    assert slope.per_year.high is not None
    return slope.per_year.value, (
        slope.per_year.high - slope.per_year.low
    ) / 2 / 1.98  # t of some 100 freedoms


@dataclass(frozen=True)
class Shares:
    """How often a trend was found, and how often ours and theirs said the same."""

    ours: float
    theirs: float
    agree: float


def compared(seed: int, growth: float, test: str) -> Shares:
    """Ours and a corrected rank test, at one level, on mounts whose users are all alike."""
    corrected = getattr(pymannkendall, test)
    ours, theirs = [], []
    for club in range(CLUBS):
        setups = a_club(default_rng([seed, club]), np.full(MOUNTS, growth), rho=0.4, people_sd=0.0)
        for mount, trend in enumerate(own_trends(fit_club(setups))):
            ours.append(trend.p < OWN_LEVEL)
            theirs.append(
                corrected(setups.log_error[setups.era == mount], alpha=OWN_LEVEL, lag=1).p < OWN_LEVEL
            )
    one, other = np.array(ours), np.array(theirs)
    return Shares(float(one.mean()), float(other.mean()), float((one == other).mean()))


TESTS = ("hamed_rao_modification_test", "yue_wang_modification_test")


@pytest.mark.parametrize("test", TESTS)
def test_on_steady_mounts_whose_nights_hang_together_we_find_no_more_than_we_say(test: str) -> None:
    """Of 96 mounts four in a hundred, and two standard errors of that: 8 %.

    The corrected tests estimate the correlation of each mount by itself, and with 24 nights find more than they say.
    """
    shares = compared(1, 0.0, test)
    assert shares.ours <= OWN_LEVEL + 2 * np.sqrt(OWN_LEVEL * (1 - OWN_LEVEL) / (MOUNTS * CLUBS))
    assert shares.ours <= shares.theirs <= 0.2
    assert shares.agree >= 0.85


@pytest.mark.parametrize("test", TESTS)
def test_a_growth_is_found_nearly_as_often_as_by_the_corrected_rank_test(test: str) -> None:
    """What they find of steady mounts beyond their level, a tenth, they find more of growing ones too."""
    shares = compared(2, 0.8, test)
    assert shares.ours >= shares.theirs - 0.2
    assert shares.ours >= 0.65
    assert shares.agree >= 0.75
