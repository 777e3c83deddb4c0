"""Forecasts of a coming night: by hand, and how often such nights then lie inside."""

import numpy as np
import pytest

from obslog.trends.attribution.attribution import NothingToAttribute
from obslog.trends.attribution.night_ahead import (
    HALF_OF_NIGHTS,
    NINE_OF_TEN,
    Forecaster,
    NightAhead,
    forecaster,
)


def by_hand() -> Forecaster:
    """The club's level 2.0 known to 0.1; Heron 0.5 above it, known to 0.2; persons differ by 0.4, nights by 0.3."""
    return Forecaster(
        factors=["mount", "observer"], levels=[["Heron"], []], setups=[[7], []], values=np.array([2.0, 0.5]),
        covariance=np.diag([0.1**2, 0.2**2]), variances=[0.6**2, 0.4**2], rest=0.3**2,
    )  # fmt: skip


def test_a_known_mount_and_an_unknown_person_by_hand() -> None:
    ahead = by_hand().night(mount="Heron", observer=None)
    assert ahead.log_arcmin == 2.5
    assert ahead.log_sd == pytest.approx(np.sqrt(0.1**2 + 0.2**2 + 0.4**2 + 0.3**2))
    assert by_hand().count("mount", "Heron") == 7
    assert by_hand().count("mount", "Bittern") == 0


def test_a_mount_nobody_used_yet_may_be_any() -> None:
    ahead = by_hand().night(mount="Bittern", observer="Ines")
    assert ahead.log_arcmin == 2.0
    assert ahead.log_sd == pytest.approx(np.sqrt(0.1**2 + 0.6**2 + 0.4**2 + 0.3**2))


def test_the_radii_of_half_of_nights_and_of_nine_of_ten() -> None:
    ahead = NightAhead(np.log(10.0), 0.5)
    assert ahead.half_arcmin == pytest.approx(10.0)
    # of the normal distribution: 0.6745 and 1.6449 standard deviations
    assert ahead.within(HALF_OF_NIGHTS) == pytest.approx(
        (10 * np.exp(-0.33724), 10 * np.exp(0.33724)), rel=1e-4
    )
    assert ahead.within(NINE_OF_TEN) == pytest.approx((10 * np.exp(-0.82243), 10 * np.exp(0.82243)), rel=1e-4)


def test_coming_nights_lie_inside_as_often_as_said() -> None:
    """40 clubs of six mounts, five persons and three sites learn from 120 set-ups; 20 others come, 800 in all."""
    half = most = count = 0
    for seed in range(40):
        rng = np.random.default_rng(seed)
        sizes = {"mount": (6, 0.5), "observer": (5, 0.3), "site": (3, 0.1)}
        codes = {name: rng.integers(size, size=140) for name, (size, _) in sizes.items()}
        true = 2.5 + rng.normal(0, 0.4, 140)
        for name, (size, sd) in sizes.items():
            true += rng.normal(0, sd, size)[codes[name]]
        known = rng.uniform(0.15, 0.35, 140)
        levels = {name: [f"{name} {one}" for one in code] for name, code in codes.items()}
        learnt = {name: one[:120] for name, one in levels.items()}
        found = forecaster((true + rng.normal(0, known))[:120], known[:120], learnt)
        for place in range(120, 140):
            ahead = found.night(**{name: one[place] for name, one in levels.items()})
            away = abs(true[place] - ahead.log_arcmin) / ahead.log_sd
            half, most, count = half + (away < HALF_OF_NIGHTS), most + (away < NINE_OF_TEN), count + 1
    # three standard errors of 800 nights, a little more for clubs have their luck in common
    assert half / count == pytest.approx(0.5, abs=0.06)
    assert most / count == pytest.approx(0.9, abs=0.04)


def test_what_a_mount_and_its_only_person_do_together_is_known_however_little_of_either() -> None:
    rng = np.random.default_rng(7)
    mounts = ["Heron"] * 30 + ["Bittern"] * 30 + ["Knot"] * 30
    people = ["Ines"] * 30 + ["Bram"] * 60
    y = np.repeat([1.0, 2.0, 3.0], 30) + rng.normal(0, 0.3, 90)
    found = forecaster(y, np.full(90, 0.1), {"mount": mounts, "observer": people})
    own = found.night(mount="Heron", observer="Ines")
    assert own.log_arcmin == pytest.approx(1.0, abs=0.2)
    assert own.log_sd < 0.35
    assert found.night(mount="Heron", observer="Bram").log_sd > 0.35


def test_few_set_ups_say_nothing() -> None:
    with pytest.raises(NothingToAttribute):
        forecaster([2.0, 2.1, np.nan], [0.2, 0.2, 0.2], {"mount": ["a", "b", "b"]})
