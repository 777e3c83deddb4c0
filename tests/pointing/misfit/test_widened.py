"""What is less sure is never said to be surer."""

import numpy as np
from numpy.testing import assert_allclose

from obslog.pointing.misfit.widened import _less_sure

PRIOR_SD = np.array([60.0, 60.0])


def test_arrivals_tell_less_and_the_prior_as_much() -> None:
    """By hand: known to 10' beside a prior of 60', arrivals alone tell 1/100 - 1/3600; of that a quarter is left."""
    wider = _less_sure(np.diag([100.0, 400.0]), PRIOR_SD, 2.0)
    by_hand = [1 / ((1 / 100 - 1 / 3600) / 4 + 1 / 3600), 1 / ((1 / 400 - 1 / 3600) / 4 + 1 / 3600)]
    assert_allclose(wider, np.diag(by_hand), rtol=1e-9, atol=1e-9)


def test_what_is_less_sure_than_before_any_arrival_stays_so() -> None:
    """An axis known to 80' only, by doubtful arrivals, beside one known to 10'; turned by 30° too."""
    angle = np.radians(30.0)
    turned = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    known = np.diag([6400.0, 100.0])
    wider = np.diag([6400.0, 1 / ((1 / 100 - 1 / 3600) / 4 + 1 / 3600)])
    for turn in (np.eye(2), turned):
        assert_allclose(
            _less_sure(turn @ known @ turn.T, PRIOR_SD, 2.0), turn @ wider @ turn.T, rtol=1e-9, atol=1e-9
        )


def test_without_a_scale_nothing_is_wider() -> None:
    covariance = np.array([[100.0, 30.0], [30.0, 400.0]])
    assert_allclose(_less_sure(covariance, PRIOR_SD, 1.0), covariance)
