"""A scatter that changed, at once or bit by bit: made clubs of either kind, and the mathematics beside scipy."""

import numpy as np
import pytest
from scipy.optimize import least_squares

from obslog.pointing.misfit.scatter_change import ScatterChange, log_variances
from obslog.pointing.misfit.scatter_growth import SURE_OVER_GROWTH, course_of
from obslog.pointing.model.frames import FloatArray
from tests.pointing.joint_fit.pointing_clubs import simulate
from tests.pointing.misfit.disturbed_clubs import GERMAN
from tests.pointing.misfit.test_scatter_change import IN_TURN, SETUPS, looked_at

CLUBS = 12
STEADY_GROWTH = np.linspace(1.5, 6.0, SETUPS)
KNOCK = np.where(np.arange(SETUPS) < SETUPS // 2, 1.5, 4.5)
DEGREES = 9.0


def found(seed: int, scatter: FloatArray) -> ScatterChange | None:
    club = simulate(
        np.random.default_rng(seed), GERMAN, setups=SETUPS, checks=6,
        mechanical_arcmin=np.array([[3.0, 2.0, 1.0]]), noise_by_setup_arcmin=scatter,
    )  # fmt: skip
    return looked_at(club, IN_TURN)


def test_a_steady_growth_is_told_as_one_with_its_ends() -> None:
    """Of forty clubs 30 were told to grow bit by bit, 7 left open, 3 not found, and none said to change at once."""
    courses = [one.course for seed in range(CLUBS) if (one := found(seed, STEADY_GROWTH)) is not None]
    told = [course for course in courses if course.bit_by_bit]
    assert len(told) >= CLUBS / 2
    assert not any(course.at_once for course in courses)
    away = [
        (
            (course.first.value - STEADY_GROWTH[0]) / course.first.sd,
            (course.last.value - STEADY_GROWTH[-1]) / course.last.sd,
        )
        for course in told
    ]
    assert float(np.sqrt(np.mean(np.square(away)))) < 1.5


def test_a_growth_by_the_same_factor_each_time_is_not_told_as_a_change_at_once() -> None:
    """Of forty clubs 36 were told to grow bit by bit, 3 left open, one not found."""
    by_factors = 1.5 * 4.0 ** np.linspace(0.0, 1.0, SETUPS)
    courses = [one.course for seed in range(CLUBS) if (one := found(seed, by_factors)) is not None]
    assert sum(course.bit_by_bit for course in courses) >= CLUBS / 2
    assert not any(course.at_once for course in courses)


def test_a_change_at_once_is_not_told_as_a_growth() -> None:
    """Of forty clubs 39 were told to have changed at once, and one was left open."""
    courses = [one.course for seed in range(CLUBS) if (one := found(seed, KNOCK)) is not None]
    assert len(courses) == CLUBS
    assert not any(course.bit_by_bit for course in courses)
    assert sum(course.at_once for course in courses) >= CLUBS - 2


def test_the_growth_is_that_of_nonlinear_least_squares() -> None:
    rng = np.random.default_rng(6)
    drawn = STEADY_GROWTH**2 * rng.chisquare(DEGREES, SETUPS) / DEGREES
    reads = np.tile([1.0, 1.5], SETUPS // 2)  # the second person reads worse
    value, sd = log_variances(drawn * reads**2, np.full(SETUPS, DEGREES))
    levels = np.tile(np.eye(2), (SETUPS // 2, 1))
    course = course_of(value, sd, levels, SETUPS // 2, 1.0)
    share = np.linspace(0.0, 1.0, SETUPS)

    def left(at: FloatArray) -> FloatArray:
        log = np.log1p((np.exp(at[2]) - 1.0) * share)
        return np.asarray((value - levels @ at[:2] - 2.0 * log) / sd)

    theirs = least_squares(left, [0.0, 0.0, 0.5])
    first = np.exp(theirs.x[:2].mean() / 2.0)
    assert course.first.value == pytest.approx(first, rel=0.03)
    assert course.last.value == pytest.approx(first * np.exp(theirs.x[2]), rel=0.03)
    covariance = np.linalg.inv(theirs.jac.T @ theirs.jac) * max(2.0 * theirs.cost / (SETUPS - 3), 1.0)
    for one, way in ((course.first, [0.25, 0.25, 0.0]), (course.last, [0.25, 0.25, 1.0])):
        assert one.sd / one.value == pytest.approx(np.sqrt(way @ covariance @ way), rel=0.05)


def test_which_it_was_is_left_open_where_both_explain_it() -> None:
    """Between the two no day is sure, and no growth."""
    kinds = []
    for seed in range(CLUBS):
        one = found(seed, np.linspace(2.0, 5.0, SETUPS))
        if one is not None:
            kinds.append((one.course.at_once, one.course.bit_by_bit))
            assert one.course.at_once is (one.course.over_growth >= SURE_OVER_GROWTH)
    assert (True, True) not in kinds
    assert (False, False) in kinds
