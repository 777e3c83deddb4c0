"""Ends of 95 % intervals against published tables."""

import pytest

from obslog.intervals import NORMAL_95, student_t_95

# NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2: critical values of Student's t, 0.975.
STUDENT = {1: 12.706, 2: 4.303, 5: 2.571, 10: 2.228, 30: 2.042, 100: 1.984}


@pytest.mark.parametrize("freedom", STUDENT)
def test_student_s_t_is_that_of_the_tables(freedom: int) -> None:
    assert student_t_95(freedom) == pytest.approx(STUDENT[freedom], abs=5e-4)


def test_with_many_degrees_of_freedom_it_is_the_normal_one() -> None:
    assert student_t_95(1e9) == pytest.approx(NORMAL_95, abs=1e-6)
    assert pytest.approx(1.960, abs=5e-4) == NORMAL_95
