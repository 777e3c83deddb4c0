"""Draws scatter as the fit says that its unknowns do."""

import numpy as np
import pytest

from obslog.pointing.budget.draws import drawn
from tests.pointing.misfit.disturbed_clubs import misread, quiet


@pytest.mark.parametrize("seed", [1, 4])
def test_draws_have_the_covariances_of_the_fit(seed: int) -> None:
    examined = quiet(seed).examined()
    assert not examined.left_out.causes
    draws = drawn(examined, 20_000, np.random.default_rng(1))
    mechanical = np.cov(draws.mechanical[:, 0].T)
    assert mechanical == pytest.approx(examined.fit.mechanical[0].covariance, rel=0.05, abs=0.02)
    for place, setup in enumerate(examined.fit.setups):
        assert np.cov(draws.polar[:, place].T) == pytest.approx(setup.covariance, rel=0.1, abs=0.1)


def test_what_else_is_at_work_is_drawn_too_and_moves_the_mechanics() -> None:
    examined = misread(3, 4.0).examined()
    assert examined.left_out.causes
    draws = drawn(examined, 20_000, np.random.default_rng(2))
    assert np.cov(draws.others.T) == pytest.approx(examined.left_out.effects.covariance, rel=0.25, abs=0.02)
    assert np.cov(draws.mechanical[:, 0].T) == pytest.approx(
        examined.fit.mechanical[0].covariance, rel=0.25, abs=0.05
    )


def test_a_centred_star_is_drawn_as_close_to_its_centre_as_syncs_are() -> None:
    """The sum of what zero points, axes and mechanics do at the star of a sync is known to its centring, 0.5'."""
    examined = quiet(2).examined()
    solution = examined.solution
    rows, tree = solution.rows, solution.rows.tree
    draws = drawn(examined, 4000, np.random.default_rng(3))
    at = np.flatnonzero(rows.is_centring)
    pair, setup = tree.pair_of_row[at], tree.setup_of_row[at]
    mechanical = np.broadcast_to(draws.mechanical[:, :1], (4000, at.size, 3))
    unknowns = np.concatenate([draws.zero[:, pair], draws.polar[:, setup], mechanical], axis=2)
    moved = np.einsum("aqv,dvq->dav", solution.slopes[:, :, at], unknowns)
    assert np.all(moved.std(axis=0) < 0.52)
    assert np.all(moved.std(axis=0) > 0.3)
