"""Whole nights typed in degrees: found, and nothing else taken for it."""

from dataclasses import replace

import numpy as np
import pytest

from obslog.pointing.joint_fit.arrivals import Arrivals
from obslog.pointing.joint_fit.fit import fit_pointing
from obslog.pointing.misfit.degrees_typed import typed_in_degrees
from obslog.pointing.model.frames import FloatArray
from tests.pointing.joint_fit.pointing_clubs import simulate
from tests.pointing.misfit.disturbed_clubs import GERMAN

SETUPS, CLUBS = 16, 8
TYPED = [3, 11]


def club(seed: int, polar_sd_arcmin: float = 25.0) -> Arrivals:
    return simulate(
        np.random.default_rng(seed), GERMAN, setups=SETUPS, checks=5, polar_sd_arcmin=polar_sd_arcmin
    ).arrivals


def times(arrivals: Arrivals, factor: FloatArray) -> Arrivals:
    return replace(
        arrivals,
        offset_east_arcmin=arrivals.offset_east_arcmin * factor,
        offset_north_arcmin=arrivals.offset_north_arcmin * factor,
    )


def found(arrivals: Arrivals) -> list[int]:
    fit = fit_pointing(GERMAN, arrivals, np.zeros(SETUPS, dtype=np.int64))
    return [one.setup for one in typed_in_degrees(arrivals, fit)]


def test_whole_nights_in_degrees_are_found_and_no_others() -> None:
    named: list[int] = []
    for seed in range(CLUBS):
        plain = club(seed)
        assert found(plain) == []
        named += found(times(plain, np.where(np.isin(plain.setup, TYPED), 1 / 60, 1.0)))
    assert set(named) == set(TYPED)
    assert (
        len(named) >= 0.8 * len(TYPED) * CLUBS
    )  # a night that landed far off is not small in degrees either


@pytest.mark.parametrize("factor", [0.0, 1 / 3])
def test_noughts_and_a_good_night_are_not_degrees(factor: float) -> None:
    """Where nothing was off, nothing is written; and one in three of the usual is a careful evening."""
    plain = club(1)
    assert found(times(plain, np.where(np.isin(plain.setup, TYPED), factor, 1.0))) == []


def test_a_mount_that_lands_as_close_as_it_scatters_is_left_alone() -> None:
    assert [found(club(seed, polar_sd_arcmin=0.5)) for seed in range(CLUBS)] == [[]] * CLUBS
