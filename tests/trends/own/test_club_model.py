"""The fitted model: known spreads are recovered, and a set-up gone astray is found out."""

import numpy as np
from numpy.random import default_rng

from obslog.trends.own.club_model import fit_club
from obslog.trends.own.club_setups import club_setups
from tests.trends.own.club_simulations import autocorrelated, plain, setups_of


def test_the_spreads_of_a_large_club_are_recovered() -> None:
    found = [fit_club(setups_of(rng, autocorrelated(rng))).spreads for rng in map(default_rng, range(8))]
    # Set-ups differ by a fifth and hang together by 0.4; observers differ by a fifth.
    assert abs(np.mean([s.rest for s in found]) - 0.2) < 0.03
    assert abs(np.mean([s.rho for s in found]) - 0.4) < 0.12
    assert abs(np.mean([s.observer for s in found]) - 0.2) < 0.07


def test_a_set_up_far_out_loses_its_weight_and_the_others_keep_theirs() -> None:
    rng = default_rng(3)
    story = plain(rng)
    story.extra[4, 10] += np.log(6)
    model = fit_club(setups_of(rng, story))
    weight = model.plain.reshape(story.extra.shape)
    assert weight[4, 10] < 0.05
    assert np.median(weight) > 0.9


def test_one_set_up_alone_is_borne() -> None:
    one = club_setups([2025.0], [2.0], [0.2], era=[0], observer=[None], site=[None])
    assert fit_club(one).solved.own[0, 0] - 2.0 < 0.1


def test_what_is_adjusted_is_freed_of_who_set_it_up() -> None:
    rng = default_rng(5)
    story = plain(rng)
    story.observer_effect = np.r_[1.0, np.zeros(9)]
    model = fit_club(setups_of(rng, story))
    careless = story.observer.ravel() == 0
    raw = model.setups.log_error
    level = np.repeat(raw.reshape(story.extra.shape).mean(axis=1), story.extra.shape[1])
    assert (raw - level)[careless].mean() > 0.7
    assert abs((model.adjusted - level)[careless].mean() - (model.adjusted - level)[~careless].mean()) < 0.15
