"""Targets are visited westward, the setting ones first, with few changes of side."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from obslog.pointing.planning.visit_order import PAST_MERIDIAN_HOURS, hour_angle_hours, visit_order

target = st.tuples(st.floats(0, 8), st.floats(0, 8), st.floats(-6, 6))


def test_the_western_ones_go_first_and_one_change_of_side_is_enough() -> None:
    transits = np.array([4.0, -5.0, 2.0, -2.0, 3.0, -0.5])
    visits = visit_order(np.zeros(6), np.full(6, 9.0), transits, 10, has_sides=True)
    assert [transits[k] for k in visits.targets] == sorted(transits)
    assert visits.tube_east == [True] * 3 + [False] * 3
    assert visits.flips == 1


def test_one_that_sets_within_the_hour_goes_first() -> None:
    visits = visit_order([0, 0], [9, 0.4], [-4.0, -3.0], 30, has_sides=False)
    assert visits.targets == [1, 0]


def test_the_plan_waits_for_what_rises_later_and_says_what_it_missed() -> None:
    visits = visit_order([0, 0, 5], [0.1, 0.1, 8], [-5, -4, 7], 15, has_sides=True)
    assert (visits.targets, visits.start_hours, visits.left) == ([0, 2], [0.0, 5.0], [1])


def test_a_target_just_past_the_meridian_is_taken_without_a_change() -> None:
    visits = visit_order([0, 0], [9, 9], [0.1, 0.15], 10, has_sides=True)
    assert visits.flips == 0
    assert visits.tube_east == [False, False]  # both begin east of the meridian, so the tube is west


def test_without_sides_there_is_nothing_to_change() -> None:
    assert visit_order([0, 0], [9, 9], [-3, 3], 10, has_sides=False).flips == 0


def test_nothing_to_visit() -> None:
    assert visit_order([], [], [], 10, has_sides=True).targets == []


@given(st.lists(target, max_size=25), st.booleans())
def test_every_target_is_visited_once_while_it_is_up_or_left(
    targets: list[tuple[float, float, float]], has_sides: bool
) -> None:
    opens, closes, transits = (
        np.array([min(t[0], t[1]) for t in targets]),
        np.array([max(t[0], t[1]) for t in targets]),
        np.array([t[2] for t in targets]),
    )
    visits = visit_order(opens, closes, transits, 12, has_sides=has_sides)
    assert sorted(visits.targets + visits.left) == list(range(len(targets)))
    start = np.array(visits.start_hours)
    assert np.all(opens[visits.targets] <= start)
    assert np.all(start <= closes[visits.targets])
    assert np.all(np.diff(start) > 12 / 60 - 1e-9)
    if has_sides:
        east = np.array(visits.tube_east, bool)
        angle = hour_angle_hours(0, transits[visits.targets] - start)
        assert np.all(angle[east] >= -PAST_MERIDIAN_HOURS)
        assert np.all(angle[~east] <= PAST_MERIDIAN_HOURS)
        assert visits.flips == int((east[1:] != east[:-1]).sum())


@pytest.mark.parametrize(
    ("hour", "transit", "angle"), [(3, 1, 2), (1, 3, -2), (0, -23.9344696, 0), (20, 0, -3.9344696)]
)
def test_hour_angles_run_from_minus_half_a_day_to_plus_half_a_day(
    hour: float, transit: float, angle: float
) -> None:
    assert_allclose(hour_angle_hours(hour, transit), angle, atol=1e-9)
